package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.Date;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.forward.wire.HeldText;
import org.cellherd.forward.wire.Lane;
import org.cellherd.store.parcel.Parcel;
import org.cellherd.store.parcel.ParcelRows;
import org.cellherd.store.sql.ParcelKind;

/**
 * Stores parcels, many in one commit, and says what is held after it. A parcel that is there
 * already, or in a newer revision, changes nothing. Not for use by two threads.
 */
final class ParcelBatch {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  private static final String UPSERT =
      "INSERT INTO parcel AS t (site, log, month, kind, key, pack, rev, crc, body)"
          + " VALUES (?,?,?,?,?,?,?,?,?) ON CONFLICT (site, log, month, kind, key) DO UPDATE SET"
          + " pack = CASE WHEN excluded.pack = '' THEN t.pack ELSE excluded.pack END,"
          + " rev = excluded.rev, crc = excluded.crc, body = excluded.body"
          + " WHERE t.rev < excluded.rev";

  private static final String LOGS =
      "INSERT INTO log AS t (site, log, top_rev) VALUES (?,?,?) ON CONFLICT (site, log)"
          + " DO UPDATE SET top_rev = greatest(t.top_rev, excluded.top_rev), last_at = now()"
          + " RETURNING top_rev, (SELECT count(*) FROM log o WHERE o.site = t.site"
          + " AND o.log <> t.log AND o.last_at > now() - interval '1 hour')";

  private final Centre centre;
  private final Months months;

  ParcelBatch(Centre centre, Months months) {
    this.centre = centre;
    this.months = months;
  }

  /**
   * What a site is told.
   *
   * @param lane of the site
   * @param held what is held of one parcel
   */
  record Answer(Lane lane, HeldText held) {}

  /** One that is about to be stored. */
  private record Row(Arrived arrived, UUID log, Date month, ParcelRows rows) {
    Parcel parcel() {
      return arrived.text().parcel();
    }
  }

  /** Stores them; those that cannot be stored are set aside, and count as held too. */
  List<Answer> store(List<Arrived> arrived) throws CentreTrouble {
    List<Answer> answers = new ArrayList<>();
    List<Row> rows = new ArrayList<>();
    for (Arrived each : arrived) {
      try {
        rows.add(row(each));
      } catch (StateMismatch | IllegalArgumentException wrong) {
        answers.add(setAside(each, String.valueOf(wrong.getMessage())));
      }
    }
    // In one order, so that gatherers do not wait for each other in a circle.
    rows.sort(
        Comparator.comparing((Row r) -> r.arrived().lane().site())
            .thenComparing(r -> r.arrived().text().log())
            .thenComparing(Row::month)
            .thenComparing(r -> r.parcel().kind())
            .thenComparing(r -> r.parcel().key())
            .thenComparing(r -> r.parcel().rev()));
    for (Row row : rows) {
      months.ensure(centre, row.month().toLocalDate());
    }
    if (!rows.isEmpty()) {
      answers.addAll(all(rows));
    }
    return answers;
  }

  private static Row row(Arrived arrived) {
    Parcel parcel = arrived.text().parcel();
    ParcelRows rows =
        parcel.isWithdrawn() ? ParcelRows.NONE : ParcelRows.of(parcel.kind(), parcel.body());
    return new Row(
        arrived,
        UUID.fromString(arrived.text().log()),
        Date.valueOf(Months.of(parcel.kind().keyMs(parcel.key()))),
        rows);
  }

  private List<Answer> all(List<Row> rows) throws CentreTrouble {
    try {
      return centre.change(c -> write(c, rows));
    } catch (CentreTrouble trouble) {
      if (!trouble.isData()) {
        throw trouble;
      }
    }
    List<Answer> answers = new ArrayList<>();
    for (Row row : rows) {
      try {
        answers.addAll(centre.change(c -> write(c, List.of(row))));
      } catch (CentreTrouble trouble) {
        if (!trouble.isData()) {
          throw trouble;
        }
        answers.add(setAside(row.arrived(), trouble.getMessage()));
      }
    }
    return answers;
  }

  private List<Answer> write(Connection connection, List<Row> rows) throws SQLException {
    int[] counts = upsert(connection, rows);
    Map<List<Object>, Long> tops = new LinkedHashMap<>();
    Map<List<Object>, Boolean> shared = new LinkedHashMap<>();
    for (Row row : rows) {
      tops.merge(List.of(row.arrived().lane().site(), row.log()), row.parcel().rev(), Math::max);
    }
    for (Map.Entry<List<Object>, Long> each : tops.entrySet()) {
      try (PreparedStatement statement =
              Centre.prepare(
                  connection, LOGS, each.getKey().get(0), each.getKey().get(1), each.getValue());
          ResultSet row = statement.executeQuery()) {
        row.next();
        each.setValue(row.getLong(1));
        shared.put(each.getKey(), row.getLong(2) > 0);
      }
    }
    List<Row> newer = new ArrayList<>();
    List<Answer> answers = new ArrayList<>();
    for (int i = 0; i < rows.size(); i++) {
      Row row = rows.get(i);
      List<Object> log = List.of(row.arrived().lane().site(), row.log());
      if (counts[i] > 0) {
        newer.add(row);
      }
      long[] held = counts[i] > 0 ? of(row) : present(connection, row);
      boolean isShared = shared.getOrDefault(log, false);
      answers.add(answer(row.arrived(), held, tops.getOrDefault(log, 0L), isShared));
    }
    PlainTables.write(connection, newer.stream().map(ParcelBatch::plain).toList());
    return answers;
  }

  private static PlainTables.Entry plain(Row row) {
    return new PlainTables.Entry(
        row.arrived().lane().site(), row.log(), row.month(), row.parcel(), row.rows());
  }

  private static int[] upsert(Connection connection, List<Row> rows) throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(UPSERT)) {
      for (Row row : rows) {
        Parcel parcel = row.parcel();
        statement.setString(1, row.arrived().lane().site());
        statement.setObject(2, row.log());
        statement.setDate(3, row.month());
        statement.setString(4, parcel.kind().word());
        statement.setString(5, parcel.key());
        statement.setString(6, pack(row));
        statement.setLong(7, parcel.rev());
        statement.setLong(8, parcel.crc());
        statement.setBytes(9, parcel.isWithdrawn() ? null : parcel.body().bytes());
        statement.addBatch();
      }
      return statement.executeBatch();
    }
  }

  private static String pack(Row row) {
    String named = row.rows().pack();
    boolean isInKey =
        row.parcel().kind() == ParcelKind.HOUR || row.parcel().kind() == ParcelKind.DAY;
    String key = row.parcel().key();
    return named.isEmpty() && isInKey ? key.substring(key.lastIndexOf('/') + 1) : named;
  }

  private static long[] of(Row row) {
    return new long[] {row.parcel().rev(), row.parcel().crc()};
  }

  private static long[] present(Connection connection, Row row) throws SQLException {
    String sql =
        "SELECT rev, crc FROM parcel WHERE site = ? AND log = ? AND month = ? AND kind = ?"
            + " AND key = ?";
    try (PreparedStatement statement =
            Centre.prepare(
                connection,
                sql,
                row.arrived().lane().site(),
                row.log(),
                row.month(),
                row.parcel().kind().word(),
                row.parcel().key());
        ResultSet result = statement.executeQuery()) {
      return result.next() ? new long[] {result.getLong(1), result.getLong(2)} : of(row);
    }
  }

  private static Answer answer(Arrived arrived, long[] held, long top, boolean isShared) {
    return new Answer(
        arrived.lane(),
        new HeldText(
            arrived.text().log(), arrived.text().token(), held[0], held[1], top, isShared));
  }

  /** What cannot be read or stored is kept as it came, so that nothing of a site is lost. */
  private Answer setAside(Arrived arrived, String why) throws CentreTrouble {
    Parcel parcel = arrived.text().parcel();
    LOG.log(
        System.Logger.Level.WARNING,
        "site "
            + arrived.lane().site()
            + ": "
            + parcel.kind().word()
            + " "
            + parcel.key()
            + " is set aside: "
            + why);
    String message =
        String.join(
            "\n",
            org.cellherd.forward.wire.ParcelText.of(
                arrived.text().log(), arrived.text().token(), parcel));
    centre.change(
        c ->
            Centre.update(
                c,
                "INSERT INTO set_aside(site, why, message) VALUES (?,?,?)",
                arrived.lane().site(),
                why,
                message));
    return answer(arrived, new long[] {parcel.rev(), parcel.crc()}, parcel.rev(), false);
  }
}
