package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonText;
import org.cellherd.store.parcel.ParcelRows;
import org.cellherd.store.rows.FactsCodec;

/** What parcels say, in columns that any SQL reads: statistics as arrays, alerts, findings. */
final class PlainTables {

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

  /** Brings the tables up to date with some parcels, in their order. */
  static void write(Connection connection, List<ReadParcel> parcels) throws SQLException {
    SumTable.HOURS.write(connection, parcels);
    SumTable.DAYS.write(connection, parcels);
    for (ReadParcel parcel : parcels) {
      switch (parcel.parcel().kind()) {
        case ALERT -> alert(connection, parcel);
        case FINDING -> finding(connection, parcel);
        default -> {}
      }
    }
  }

  /** A time that views can show: of the years 1970 to 9999. */
  static long time(long ms) {
    if (ms < 0 || ms > IsoTime.LAST_MS) {
      throw new StateMismatch(ms + " ms is not a time");
    }
    return ms;
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
