package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/** The table of all parcels. One that is there already, or in a newer revision, stays. */
final class ParcelTable {

  private static final String UPSERT =
      "INSERT INTO parcel AS t (site, log, month, kind, key, pack, rev, crc, body) SELECT * FROM"
          + " unnest(?::text[], ?::text[]::uuid[], ?::text[]::date[], ?::text[], ?::text[],"
          + " ?::text[], ?::bigint[], ?::bigint[], ?::bytea[]) ON CONFLICT (site, log, month, kind,"
          + " key) DO UPDATE SET pack = CASE WHEN excluded.pack = '' THEN t.pack ELSE excluded.pack"
          + " END, rev = excluded.rev, crc = excluded.crc, body = excluded.body WHERE t.rev <"
          + " excluded.rev RETURNING site, log, kind, key";

  private static final String LOGS =
      "INSERT INTO log AS t (site, log, top_rev) SELECT * FROM unnest(?::text[], ?::text[]::uuid[],"
          + " ?::bigint[]) ON CONFLICT (site, log) DO UPDATE SET top_rev = greatest(t.top_rev,"
          + " excluded.top_rev), last_at = CASE"
          // What a broker repeats of a log that a site had before is no news of it.
          + " WHEN excluded.top_rev > t.top_rev THEN now() ELSE t.last_at END"
          + " RETURNING site, log, top_rev, (SELECT count(*) FROM log o WHERE o.site = t.site"
          + " AND o.log <> t.log AND o.last_at > now() - interval '1 hour')";

  private static final String PRESENT =
      "SELECT rev, crc FROM parcel WHERE site = ? AND log = ? AND month = ? AND kind = ?"
          + " AND key = ?";

  private ParcelTable() {}

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

  /** What tells one parcel from every other. */
  private record Which(SiteOfLog of, String kind, String key) {
    static Which of(ReadParcel row) {
      return new Which(SiteOfLog.of(row), row.parcel().kind().word(), row.parcel().key());
    }
  }

  /** Stores parcels and what they say in plain columns; the answers are in their order. */
  static List<SiteAnswer> write(Connection connection, List<ReadParcel> rows) throws SQLException {
    // One statement cannot touch a row twice: of each parcel its last, for they come in order.
    Map<Which, ReadParcel> last = new LinkedHashMap<>();
    rows.forEach(row -> last.put(Which.of(row), row));
    Set<Which> stored = upsert(connection, List.copyOf(last.values()));
    Map<SiteOfLog, Known> logs = logs(connection, rows);
    List<ReadParcel> newer = new ArrayList<>();
    List<SiteAnswer> answers = new ArrayList<>();
    for (ReadParcel row : rows) {
      Known log = logs.getOrDefault(SiteOfLog.of(row), new Known(0, false));
      Which which = Which.of(row);
      if (stored.contains(which) && isSame(row, last.get(which))) {
        newer.add(row);
        answers.add(SiteAnswer.of(row.arrived(), log.topRev(), log.isShared()));
      } else {
        answers.add(present(connection, row, log));
      }
    }
    PlainTables.write(connection, newer);
    return answers;
  }

  /** What is held is told by its own sum, whoever else sent the same number. */
  private static boolean isSame(ReadParcel row, @Nullable ReadParcel held) {
    return held != null
        && row.parcel().rev() == held.parcel().rev()
        && row.parcel().crc() == held.parcel().crc();
  }

  private static Set<Which> upsert(Connection connection, List<ReadParcel> rows)
      throws SQLException {
    Set<Which> stored = new HashSet<>();
    try (PreparedStatement statement = connection.prepareStatement(UPSERT)) {
      new RowArrays<>(statement, rows)
          .texts(ReadParcel::site)
          .texts(row -> row.log().toString())
          .texts(row -> row.month().toString())
          .texts(row -> row.parcel().kind().word())
          .texts(row -> row.parcel().key())
          .texts(ReadParcel::pack)
          .longs(row -> row.parcel().rev())
          .longs(row -> row.parcel().crc())
          .bytes(row -> row.parcel().isWithdrawn() ? null : row.parcel().body().bytes());
      try (ResultSet row = statement.executeQuery()) {
        while (row.next()) {
          SiteOfLog of = new SiteOfLog(row.getString(1), row.getObject(2, UUID.class));
          stored.add(new Which(of, row.getString(3), row.getString(4)));
        }
      }
    }
    return stored;
  }

  private static Map<SiteOfLog, Known> logs(Connection connection, List<ReadParcel> rows)
      throws SQLException {
    Map<SiteOfLog, Long> tops = new LinkedHashMap<>();
    rows.forEach(row -> tops.merge(SiteOfLog.of(row), row.parcel().rev(), Math::max));
    Map<SiteOfLog, Known> logs = new LinkedHashMap<>();
    try (PreparedStatement statement = connection.prepareStatement(LOGS)) {
      new RowArrays<>(statement, List.copyOf(tops.entrySet()))
          .texts(log -> log.getKey().site())
          .texts(log -> log.getKey().log().toString())
          .longs(Map.Entry::getValue);
      try (ResultSet row = statement.executeQuery()) {
        while (row.next()) {
          SiteOfLog of = new SiteOfLog(row.getString(1), row.getObject(2, UUID.class));
          logs.put(of, new Known(row.getLong(3), row.getLong(4) > 0));
        }
      }
    }
    return logs;
  }

  private static SiteAnswer present(Connection connection, ReadParcel row, Known log)
      throws SQLException {
    Parcel parcel = row.parcel();
    try (PreparedStatement statement =
            Database.prepare(
                connection,
                PRESENT,
                row.site(),
                row.log(),
                row.month(),
                parcel.kind().word(),
                parcel.key());
        ResultSet there = statement.executeQuery()) {
      there.next();
      CentreAnswer.Held held =
          new CentreAnswer.Held(
              row.arrived().text().log(),
              row.arrived().text().token(),
              there.getLong(1),
              there.getLong(2),
              log.topRev(),
              log.isShared());
      return new SiteAnswer(row.arrived().lane(), held);
    }
  }
}
