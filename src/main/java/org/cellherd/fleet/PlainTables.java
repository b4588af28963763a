package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.Date;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import java.util.UUID;
import org.cellherd.analysis.Finding;
import org.cellherd.json.JsonText;
import org.cellherd.store.parcel.Parcel;
import org.cellherd.store.parcel.ParcelRows;
import org.cellherd.store.rows.FactsCodec;
import org.cellherd.store.sql.ParcelKind;
import org.jspecify.annotations.Nullable;

/** What parcels say, in columns that any SQL reads: statistics as arrays, alerts, findings. */
final class PlainTables {

  private static final String SUMS =
      " (site, log, month, pack, session, start_ms, channel, count, min, mean, max)"
          + " VALUES (?,?,?,?,?,?,?,?,?,?,?)"
          + " ON CONFLICT (site, log, month, pack, session, start_ms) DO UPDATE SET"
          + " channel = excluded.channel, count = excluded.count, min = excluded.min,"
          + " mean = excluded.mean, max = excluded.max";

  private static final String ALERT =
      "INSERT INTO alert(site, log, id, pack, rule, cell, state, stands, priority, since_ms,"
          + " time_ms, text, first_step, acknowledged_by) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)"
          + " ON CONFLICT (site, log, id) DO UPDATE SET state = excluded.state,"
          + " stands = excluded.stands, priority = excluded.priority, since_ms ="
          + " excluded.since_ms, time_ms = excluded.time_ms, text = excluded.text, first_step ="
          + " excluded.first_step, acknowledged_by = excluded.acknowledged_by,"
          + " at = clock_timestamp()";

  private static final String FINDING =
      "INSERT INTO finding(site, log, pack, name, from_ms, to_ms, sentence, facts)"
          + " VALUES (?,?,?,?,?,?,?,?::jsonb) ON CONFLICT (site, log, pack, name, to_ms, from_ms)"
          + " DO UPDATE SET sentence = excluded.sentence, facts = excluded.facts";

  private PlainTables() {}

  /**
   * A parcel that was new.
   *
   * @param site whose it is
   * @param log UUID of the log
   * @param month of the parcel
   * @param parcel itself
   * @param rows what it holds; none where it was withdrawn
   */
  record Entry(String site, UUID log, Date month, Parcel parcel, ParcelRows rows) {
    String key(int part) {
      return parcel.key().split("/", parcel.kind().keyParts())[part];
    }
  }

  /** Brings the tables up to date with some parcels, in their order. */
  static void write(Connection connection, List<Entry> entries) throws SQLException {
    for (Entry entry : entries) {
      switch (entry.parcel().kind()) {
        case HOUR, DAY -> sums(connection, entry);
        case ALERT -> alert(connection, entry);
        case FINDING -> finding(connection, entry);
        default -> {}
      }
    }
  }

  private static void sums(Connection connection, Entry entry) throws SQLException {
    String table = entry.parcel().kind() == ParcelKind.HOUR ? "hour_sum" : "day_sum";
    long startMs = Long.parseLong(entry.key(0));
    long session = Long.parseLong(entry.key(1));
    if (entry.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM "
              + table
              + " WHERE site = ? AND log = ? AND month = ? AND pack = ? AND session = ?"
              + " AND start_ms = ?",
          entry.site(),
          entry.log(),
          entry.month(),
          entry.key(2),
          session,
          startMs);
      return;
    }
    try (PreparedStatement statement =
        Centre.prepare(
            connection,
            "INSERT INTO " + table + SUMS,
            entry.site(),
            entry.log(),
            entry.month(),
            entry.key(2),
            session,
            startMs)) {
      array(connection, statement, 7, "text", column(entry, "channel"));
      array(connection, statement, 8, "bigint", column(entry, "count"));
      array(connection, statement, 9, "bigint", column(entry, "min"));
      array(connection, statement, 10, "float8", column(entry, "mean"));
      array(connection, statement, 11, "bigint", column(entry, "max"));
      statement.executeUpdate();
    }
  }

  private static @Nullable Object[] column(Entry entry, String name) {
    @Nullable Object[] values = new @Nullable Object[entry.rows().rows().size()];
    for (int i = 0; i < values.length; i++) {
      values[i] = entry.rows().value(i, name);
    }
    return values;
  }

  private static void array(
      Connection connection,
      PreparedStatement statement,
      int at,
      String type,
      @Nullable Object[] values)
      throws SQLException {
    statement.setArray(at, connection.createArrayOf(type, values));
  }

  private static void alert(Connection connection, Entry entry) throws SQLException {
    if (entry.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM alert WHERE site = ? AND log = ? AND id = ?",
          entry.site(),
          entry.log(),
          entry.key(0));
      return;
    }
    ParcelRows rows = entry.rows();
    Centre.update(
        connection,
        ALERT,
        entry.site(),
        entry.log(),
        rows.value(0, "id"),
        rows.value(0, "pack"),
        rows.value(0, "rule"),
        rows.value(0, "cell") instanceof Long cell ? (int) (long) cell : 0,
        rows.value(0, "state"),
        rows.value(0, "stands") instanceof Long stands && stands != 0,
        rows.value(0, "priority"),
        rows.value(0, "since_ms"),
        rows.value(0, "time_ms"),
        rows.value(0, "text"),
        rows.value(0, "first_step"),
        rows.value(0, "acknowledged_by"));
  }

  /** Puts all results of a pack in place of those that are there. */
  static void findings(Connection connection, SiteLog log, String pack, List<Finding> findings)
      throws SQLException {
    Centre.update(
        connection,
        "DELETE FROM finding WHERE site = ? AND log = ? AND pack = ?",
        log.site(),
        log.log(),
        pack);
    try (PreparedStatement statement =
        Centre.prepare(connection, FINDING, log.site(), log.log(), pack)) {
      for (Finding finding : findings) {
        statement.setString(4, finding.name().word());
        statement.setLong(5, finding.fromMs());
        statement.setLong(6, finding.toMs());
        statement.setString(7, finding.sentence());
        statement.setString(8, JsonText.of(finding.facts()));
        statement.addBatch();
      }
      statement.executeBatch();
    }
  }

  private static void finding(Connection connection, Entry entry) throws SQLException {
    long to = Long.parseLong(entry.key(0));
    long from = Long.parseLong(entry.key(1));
    if (entry.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM finding WHERE site = ? AND log = ? AND pack = ? AND name = ? AND to_ms = ?"
              + " AND from_ms = ?",
          entry.site(),
          entry.log(),
          entry.key(3),
          entry.key(2),
          to,
          from);
      return;
    }
    byte[] facts = entry.rows().value(0, "facts") instanceof byte[] bytes ? bytes : new byte[0];
    Centre.update(
        connection,
        FINDING,
        entry.site(),
        entry.log(),
        entry.key(3),
        entry.key(2),
        from,
        to,
        entry.rows().value(0, "sentence"),
        JsonText.of(FactsCodec.decode(facts)));
  }
}
