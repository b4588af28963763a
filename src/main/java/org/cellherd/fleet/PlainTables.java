package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.json.JsonText;
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

  /** End of the year 9999, ms UTC. */
  private static final long LAST_MS = 253_402_300_799_999L;

  private PlainTables() {}

  /** Brings the tables up to date with some parcels, in their order. */
  static void write(Connection connection, List<ReadParcel> parcels) throws SQLException {
    for (ReadParcel parcel : parcels) {
      switch (parcel.parcel().kind()) {
        case HOUR, DAY -> sums(connection, parcel);
        case ALERT -> alert(connection, parcel);
        case FINDING -> finding(connection, parcel);
        default -> {}
      }
    }
  }

  /** A time that views can show: of the years 1970 to 9999. */
  private static long time(long ms) {
    if (ms < 0 || ms > LAST_MS) {
      throw new StateMismatch(ms + " ms is no time");
    }
    return ms;
  }

  private static void sums(Connection connection, ReadParcel parcel) throws SQLException {
    String table = parcel.parcel().kind() == ParcelKind.HOUR ? "hour_sum" : "day_sum";
    long startMs = time(Long.parseLong(parcel.key(0)));
    long session = Long.parseLong(parcel.key(1));
    if (parcel.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM "
              + table
              + " WHERE site = ? AND log = ? AND month = ? AND pack = ? AND session = ?"
              + " AND start_ms = ?",
          parcel.site(),
          parcel.log(),
          parcel.month(),
          parcel.key(2),
          session,
          startMs);
      return;
    }
    try (PreparedStatement statement =
        Centre.prepare(
            connection,
            "INSERT INTO " + table + SUMS,
            parcel.site(),
            parcel.log(),
            parcel.month(),
            parcel.key(2),
            session,
            startMs)) {
      array(connection, statement, 7, "text", column(parcel, "channel", String.class));
      array(connection, statement, 8, "bigint", column(parcel, "count", Long.class));
      array(connection, statement, 9, "bigint", column(parcel, "min", Long.class));
      array(connection, statement, 10, "float8", column(parcel, "mean", Number.class));
      array(connection, statement, 11, "bigint", column(parcel, "max", Long.class));
      statement.executeUpdate();
    }
  }

  private static @Nullable Object[] column(ReadParcel parcel, String name, Class<?> type) {
    @Nullable Object[] values = new @Nullable Object[parcel.rows().rows().size()];
    for (int i = 0; i < values.length; i++) {
      values[i] = parcel.rows().value(i, name);
      boolean isMean = !(values[i] instanceof Double mean) || isMean(mean);
      if (values[i] != null && !(type.isInstance(values[i]) && isMean)) {
        throw new StateMismatch(name + " of channels holds what it cannot");
      }
    }
    return values;
  }

  /** Of up to 10^9 whole numbers. */
  private static boolean isMean(double mean) {
    return mean == 0 || (Math.abs(mean) >= 1e-9 && Math.abs(mean) <= Long.MAX_VALUE);
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

  private static void alert(Connection connection, ReadParcel parcel) throws SQLException {
    if (parcel.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM alert WHERE site = ? AND log = ? AND id = ?",
          parcel.site(),
          parcel.log(),
          parcel.key(0));
      return;
    }
    ParcelRows rows = parcel.rows();
    Centre.update(
        connection,
        ALERT,
        parcel.site(),
        parcel.log(),
        rows.text("id"),
        rows.text("pack"),
        rows.text("rule"),
        rows.value(0, "cell") instanceof Long cell ? (int) (long) cell : 0,
        rows.text("state"),
        rows.number("stands") != 0,
        rows.text("priority"),
        time(rows.number("since_ms")),
        time(rows.number("time_ms")),
        rows.text("text"),
        rows.text("first_step"),
        rows.value(0, "acknowledged_by") instanceof String name ? name : null);
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

  private static void finding(Connection connection, ReadParcel parcel) throws SQLException {
    long to = time(Long.parseLong(parcel.key(0)));
    long from = time(Long.parseLong(parcel.key(1)));
    if (parcel.parcel().isWithdrawn()) {
      Centre.update(
          connection,
          "DELETE FROM finding WHERE site = ? AND log = ? AND pack = ? AND name = ? AND to_ms = ?"
              + " AND from_ms = ?",
          parcel.site(),
          parcel.log(),
          parcel.key(3),
          parcel.key(2),
          to,
          from);
      return;
    }
    byte[] facts = parcel.rows().value(0, "facts") instanceof byte[] bytes ? bytes : new byte[0];
    Centre.update(
        connection,
        FINDING,
        parcel.site(),
        parcel.log(),
        parcel.key(3),
        parcel.key(2),
        from,
        to,
        parcel.rows().text("sentence"),
        JsonText.of(FactsCodec.decode(facts)));
  }
}
