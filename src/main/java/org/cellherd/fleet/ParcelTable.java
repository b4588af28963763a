package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.cellherd.forward.wire.HeldText;
import org.cellherd.store.parcel.Parcel;

/** The table of all parcels. One that is there already, or in a newer revision, stays. */
final class ParcelTable {

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

  private static final String PRESENT =
      "SELECT rev, crc FROM parcel WHERE site = ? AND log = ? AND month = ? AND kind = ?"
          + " AND key = ?";

  private ParcelTable() {}

  /** One log of a site. */
  private record SiteOfLog(String site, UUID log) {
    static SiteOfLog of(ReadParcel row) {
      return new SiteOfLog(row.site(), row.log());
    }
  }

  /**
   * What is known of a log.
   *
   * @param topRev highest revision that is held of it
   * @param isShared true when another log came under the site's name within the hour
   */
  private record Known(long topRev, boolean isShared) {}

  /** Stores parcels and what they say in plain columns; the answers are in their order. */
  static List<HeldAnswer> write(Connection connection, List<ReadParcel> rows) throws SQLException {
    int[] counts = upsert(connection, rows);
    Map<SiteOfLog, Known> logs = logs(connection, rows);
    List<ReadParcel> newer = new ArrayList<>();
    List<HeldAnswer> answers = new ArrayList<>();
    for (int i = 0; i < counts.length; i++) {
      ReadParcel row = rows.get(i);
      Known log = logs.getOrDefault(SiteOfLog.of(row), new Known(0, false));
      if (counts[i] > 0) {
        newer.add(row);
        answers.add(HeldAnswer.of(row.arrived(), log.topRev(), log.isShared()));
      } else {
        answers.add(present(connection, row, log));
      }
    }
    PlainTables.write(connection, newer);
    return answers;
  }

  private static int[] upsert(Connection connection, List<ReadParcel> rows) throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(UPSERT)) {
      for (ReadParcel row : rows) {
        Parcel parcel = row.parcel();
        statement.setString(1, row.site());
        statement.setObject(2, row.log());
        statement.setDate(3, row.month());
        statement.setString(4, parcel.kind().word());
        statement.setString(5, parcel.key());
        statement.setString(6, row.pack());
        statement.setLong(7, parcel.rev());
        statement.setLong(8, parcel.crc());
        statement.setBytes(9, parcel.isWithdrawn() ? null : parcel.body().bytes());
        statement.addBatch();
      }
      return statement.executeBatch();
    }
  }

  private static Map<SiteOfLog, Known> logs(Connection connection, List<ReadParcel> rows)
      throws SQLException {
    Map<SiteOfLog, Long> tops = new LinkedHashMap<>();
    rows.forEach(row -> tops.merge(SiteOfLog.of(row), row.parcel().rev(), Math::max));
    Map<SiteOfLog, Known> logs = new LinkedHashMap<>();
    for (Map.Entry<SiteOfLog, Long> top : tops.entrySet()) {
      SiteOfLog of = top.getKey();
      try (PreparedStatement statement =
              Centre.prepare(connection, LOGS, of.site(), of.log(), top.getValue());
          ResultSet row = statement.executeQuery()) {
        row.next();
        logs.put(of, new Known(row.getLong(1), row.getLong(2) > 0));
      }
    }
    return logs;
  }

  private static HeldAnswer present(Connection connection, ReadParcel row, Known log)
      throws SQLException {
    Parcel parcel = row.parcel();
    try (PreparedStatement statement =
            Centre.prepare(
                connection,
                PRESENT,
                row.site(),
                row.log(),
                row.month(),
                parcel.kind().word(),
                parcel.key());
        ResultSet there = statement.executeQuery()) {
      there.next();
      HeldText held =
          new HeldText(
              row.arrived().text().log(),
              row.arrived().text().token(),
              there.getLong(1),
              there.getLong(2),
              log.topRev(),
              log.isShared());
      return new HeldAnswer(row.arrived().lane(), held);
    }
  }
}
