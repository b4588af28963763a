package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonText;
import org.cellherd.store.FactsCodec;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;

/** What parcels say, in columns that any SQL reads: statistics as arrays, alerts, findings. */
final class PlainTables {

  private static final String LOG_KEY = "unnest(?::text[], ?::text[]::uuid[], ";

  private static final String ALERT =
      "INSERT INTO alert(site, log, id, pack, rule, cell, state, stands, priority, since_ms,"
          + " time_ms, text, first_step, acknowledged_by) SELECT site, log, id, pack, rule,"
          + " cell::integer, state, stands <> 0, priority, since_ms, time_ms, text, first_step,"
          + " acknowledged_by FROM "
          + LOG_KEY
          + "?::text[], ?::text[], ?::text[], ?::bigint[], ?::text[], ?::bigint[], ?::text[],"
          + " ?::bigint[], ?::bigint[], ?::text[], ?::text[], ?::text[]) AS r(site, log, id,"
          + " pack, rule, cell, state, stands, priority, since_ms, time_ms, text, first_step,"
          + " acknowledged_by) ON CONFLICT (site, log, id) DO UPDATE SET state = excluded.state,"
          + " stands = excluded.stands, priority = excluded.priority, since_ms ="
          + " excluded.since_ms, time_ms = excluded.time_ms, text = excluded.text, first_step ="
          + " excluded.first_step, acknowledged_by = excluded.acknowledged_by,"
          + " at = clock_timestamp()";

  private static final String ALERT_GONE =
      "DELETE FROM alert t USING "
          + LOG_KEY
          + "?::text[]) AS r(site, log, id)"
          + " WHERE t.site = r.site AND t.log = r.log AND t.id = r.id";

  private static final String FINDING_KEY =
      LOG_KEY + "?::text[], ?::text[], ?::bigint[], ?::bigint[]";

  private static final String FINDING =
      "INSERT INTO finding(site, log, pack, name, to_ms, from_ms, sentence, facts)"
          + " SELECT site, log, pack, name, to_ms, from_ms, sentence, facts::jsonb FROM "
          + FINDING_KEY
          + ", ?::text[], ?::text[])"
          + " AS r(site, log, pack, name, to_ms, from_ms, sentence, facts)"
          + " ON CONFLICT (site, log, pack, name, to_ms, from_ms)"
          + " DO UPDATE SET sentence = excluded.sentence, facts = excluded.facts";

  private static final String FINDING_GONE =
      "DELETE FROM finding t USING "
          + FINDING_KEY
          + ") AS r(site, log, pack, name, to_ms, from_ms) WHERE t.site = r.site"
          + " AND t.log = r.log AND t.pack = r.pack AND t.name = r.name"
          + " AND t.to_ms = r.to_ms AND t.from_ms = r.from_ms";

  private PlainTables() {}

  /** Brings the tables up to date with some parcels, in their order. */
  static void write(Connection connection, List<ReadParcel> parcels) throws SQLException {
    SumTable.HOURS.write(connection, parcels);
    SumTable.DAYS.write(connection, parcels);
    Changes alerts = Changes.of(parcels, ParcelKind.ALERT, p -> List.of(p.key(0)));
    run(connection, ALERT_GONE, alerts.withdrawn(), PlainTables::alertKey);
    run(connection, ALERT, alerts.put(), PlainTables::alert);
    Changes findings = Changes.of(parcels, ParcelKind.FINDING, PlainTables::findingKey);
    run(connection, FINDING_GONE, findings.withdrawn(), PlainTables::findingKeys);
    run(connection, FINDING, findings.put(), PlainTables::finding);
  }

  /** Gives a statement the columns of its rows. */
  @FunctionalInterface
  interface Columns<T> {
    RowArrays<T> of(RowArrays<T> arrays) throws SQLException;
  }

  /** Runs a statement over all rows at once; none when there are none. */
  static <T> void run(Connection connection, String sql, List<T> rows, Columns<T> columns)
      throws SQLException {
    if (!rows.isEmpty()) {
      try (PreparedStatement statement = connection.prepareStatement(sql)) {
        columns.of(new RowArrays<>(statement, rows));
        statement.executeUpdate();
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

  private static RowArrays<ReadParcel> ofLog(RowArrays<ReadParcel> arrays) throws SQLException {
    return arrays.texts(ReadParcel::site).texts(p -> p.log().toString());
  }

  private static RowArrays<ReadParcel> alertKey(RowArrays<ReadParcel> arrays) throws SQLException {
    return ofLog(arrays).texts(p -> p.key(0));
  }

  private static RowArrays<ReadParcel> alert(RowArrays<ReadParcel> arrays) throws SQLException {
    return alertKey(arrays)
        .texts(p -> p.rows().text("pack"))
        .texts(p -> p.rows().text("rule"))
        .longs(p -> p.rows().value(0, "cell") instanceof Long cell ? cell : 0L)
        .texts(p -> p.rows().text("state"))
        .longs(p -> p.rows().number("stands"))
        .texts(p -> p.rows().text("priority"))
        .longs(p -> time(p.rows().number("since_ms")))
        .longs(p -> time(p.rows().number("time_ms")))
        .texts(p -> p.rows().text("text"))
        .texts(p -> p.rows().text("first_step"))
        .texts(p -> p.rows().value(0, "acknowledged_by") instanceof String name ? name : null);
  }

  /** Puts all results of a pack in place of those that are there. */
  static void findings(Connection connection, SiteLog log, String pack, List<Finding> findings)
      throws SQLException {
    Database.update(
        connection,
        "DELETE FROM finding WHERE site = ? AND log = ? AND pack = ?",
        log.site(),
        log.log(),
        pack);
    run(
        connection,
        FINDING,
        findings,
        arrays ->
            arrays
                .texts(f -> log.site())
                .texts(f -> log.log().toString())
                .texts(f -> pack)
                .texts(f -> f.name().word())
                .longs(Finding::toMs)
                .longs(Finding::fromMs)
                .texts(Finding::sentence)
                .texts(f -> JsonText.of(f.facts())));
  }

  private static List<?> findingKey(ReadParcel parcel) {
    return List.of(parcel.key(3), parcel.key(2), toMs(parcel), fromMs(parcel));
  }

  private static long toMs(ReadParcel parcel) {
    return time(Long.parseLong(parcel.key(0)));
  }

  private static long fromMs(ReadParcel parcel) {
    return time(Long.parseLong(parcel.key(1)));
  }

  private static RowArrays<ReadParcel> findingKeys(RowArrays<ReadParcel> arrays)
      throws SQLException {
    return ofLog(arrays)
        .texts(p -> p.key(3))
        .texts(p -> p.key(2))
        .longs(PlainTables::toMs)
        .longs(PlainTables::fromMs);
  }

  private static RowArrays<ReadParcel> finding(RowArrays<ReadParcel> arrays) throws SQLException {
    return findingKeys(arrays).texts(p -> p.rows().text("sentence")).texts(PlainTables::facts);
  }

  private static String facts(ReadParcel parcel) {
    byte[] facts = parcel.rows().value(0, "facts") instanceof byte[] bytes ? bytes : new byte[0];
    return JsonText.of(FactsCodec.decode(facts));
  }
}
