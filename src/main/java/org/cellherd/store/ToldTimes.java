package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.function.LongUnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * Moves alerts and their changes with the stretches in which people were told of them.
 *
 * <p>Their ids name the run; within a run they belong to the stretch that began last before them.
 * What their sentences say of times stays, so it is kept with them by how much that clock was
 * wrong. Alerts that imported readings gave are made anew by others.
 */
final class ToldTimes {
  private static final Pattern EVENT_RUN = Pattern.compile(":[a-z]+-(\\d+)\\.\\d+$");
  private static final Pattern ALERT_RUN = Pattern.compile("\\.(\\d+)-n?[0-9a-f]+(:[a-z]+)?$");

  private final Connection connection;
  private final String pack;
  private final List<LogSession> before;
  private final Map<Long, Long> offsets;

  /**
   * A pack's alerts.
   *
   * @param before the stretches with the times by which people were told
   * @param offsets what is added to the times of which stretch, ms
   */
  public ToldTimes(
      Connection connection, String pack, List<LogSession> before, Map<Long, Long> offsets) {
    this.connection = connection;
    this.pack = pack;
    this.before = before.stream().sorted(Comparator.comparingLong(LogSession::startMs)).toList();
    this.offsets = Map.copyOf(offsets);
  }

  private record Row(long seq, String alertId, long sinceMs, long timeMs, Facts evidence) {}

  /** Moves all that belong to the stretches. */
  public void shift() throws SQLException {
    Map<String, Long> lastRun = new HashMap<>();
    String events = "SELECT seq, alert_id, since_ms, time_ms, evidence, id FROM event";
    rows(
        events,
        (row, id) -> {
          long run = run(EVENT_RUN, id).orElse(run(ALERT_RUN, row.alertId).orElse(0));
          lastRun.put(row.alertId, run);
          shift("event", row, run);
        });
    String alerts = "SELECT seq, id, since_ms, time_ms, evidence, id FROM alert";
    rows(
        alerts,
        (row, id) -> shift("alert", row, lastRun.getOrDefault(id, run(ALERT_RUN, id).orElse(0))));
  }

  private interface RowWork {
    void on(Row row, String id) throws SQLException;
  }

  private void rows(String select, RowWork work) throws SQLException {
    Database.each(
        connection,
        select + " WHERE pack = ? AND id NOT LIKE ? ORDER BY seq",
        row -> work.on(row(row), row.getString(6)),
        pack,
        "%" + AlertEvent.JUDGED_MARK + "%");
  }

  private static Row row(ResultSet row) throws SQLException {
    return new Row(
        row.getLong(1),
        row.getString(2),
        row.getLong(3),
        row.getLong(4),
        FactsCodec.decode(row.getBytes(5)));
  }

  private static OptionalLong run(Pattern pattern, String id) {
    Matcher found = pattern.matcher(id);
    return found.find() ? OptionalLong.of(Long.parseLong(found.group(1))) : OptionalLong.empty();
  }

  private void shift(String table, Row row, long run) throws SQLException {
    long began = run(ALERT_RUN, row.alertId).orElse(run);
    long ahead = -offset(row.timeMs, run, run);
    LongUnaryOperator right = ms -> ms + offset(ms, began, run);
    long since = right.applyAsLong(row.sinceMs);
    if (ahead == 0 && since == row.sinceMs) {
      return;
    }
    Database.update(
        connection,
        "UPDATE " + table + " SET since_ms = ?, time_ms = ?, evidence = ? WHERE seq = ?",
        since,
        row.timeMs - ahead,
        evidence(row.evidence, ahead, right),
        row.seq);
  }

  /** What is added to a time of some runs; nothing where its stretch stays. */
  private long offset(long ms, long fromRun, long toRun) {
    LogSession its = null;
    for (LogSession each : before) {
      boolean isOfThem = each.run() >= fromRun && each.run() <= toRun;
      if (isOfThem && (its == null || each.startMs() <= ms)) {
        its = each;
      }
    }
    return its == null ? 0 : offsets.getOrDefault(its.id(), 0L);
  }

  private static byte[] evidence(Facts facts, long aheadMs, LongUnaryOperator right) {
    return FactsCodec.encode(Alert.ClockError.of(facts).plus(aheadMs).in(shifted(facts, right)));
  }

  private static Facts shifted(Facts facts, LongUnaryOperator right) {
    return new Facts(
        facts.list().stream().map(f -> new Fact(f.name(), shifted(f.value(), right))).toList());
  }

  private static @Nullable Object shifted(@Nullable Object value, LongUnaryOperator right) {
    if (value instanceof Fact.Time time) {
      return new Fact.Time(right.applyAsLong(time.ms()));
    }
    if (value instanceof Facts facts) {
      return shifted(facts, right);
    }
    return value instanceof List<?> list
        ? list.stream().map(each -> shifted(each, right)).toList()
        : value;
  }
}
