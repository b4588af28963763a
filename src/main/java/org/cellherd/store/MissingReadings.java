package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.cellherd.store.sql.Database;

/**
 * Readings of a stretch that the log knows of and does not hold: the statistics of a packed hour
 * and table {@code heard} tell how many each hour had.
 */
final class MissingReadings {

  /** A tenth of the longest pause is taken for the pause between two polls, not for lost rows. */
  private static final int SHORT = 10;

  /** Hours begin at whole hours: what does not was damaged, and its readings are another hour's. */
  private static final String WHERE =
      " WHERE pack = ?1 AND session = ?2 AND start_ms > ?3 AND start_ms % "
          + PackStream.HOUR_MS
          + " = 0";

  private static final String HOURS =
      "SELECT start_ms, max(count), start_ms, start_ms + "
          + (PackStream.HOUR_MS - 1)
          + " FROM hour"
          + WHERE
          + " GROUP BY start_ms UNION ALL SELECT start_ms, count, from_ms, to_ms FROM heard"
          + WHERE
          + " ORDER BY 1";

  private static final String ROWS =
      "SELECT "
          + ReadingsRow.COLUMNS
          + " FROM block WHERE pack = ?1 AND session = ?2 UNION ALL SELECT "
          + ReadingsRow.COLUMNS
          + " FROM recent WHERE pack = ?1 AND session = ?2 ORDER BY start_ms";

  private static final String TOLD =
      "SELECT count(*) FROM gap WHERE pack = ? AND session = ? AND cause = 'unknown'"
          + " AND from_ms < ? AND to_ms >= ?";

  private static final String NEXT_START =
      "SELECT min(start_ms) FROM session WHERE pack = ? AND rank > (SELECT rank FROM session"
          + " WHERE id = ?)";

  private final Connection connection;
  private final String pack;
  private final long session;
  private final NavigableMap<Long, Hour> hours = new TreeMap<>();
  private final NavigableMap<Long, Long> rows = new TreeMap<>();

  /** One hour, and what there is of it. */
  private static final class Hour {
    final long startMs;
    long expected;
    long present;
    long fromMs = Long.MAX_VALUE;
    long toMs = Long.MIN_VALUE;

    Hour(long startMs) {
      this.startMs = startMs;
    }

    long endMs() {
      return startMs + PackStream.HOUR_MS;
    }

    long missing() {
      return expected - present;
    }
  }

  private record Span(long fromMs, long toMs) {
    long lengthMs() {
      return toMs - fromMs;
    }
  }

  /** Reads what the log knows of a stretch. */
  MissingReadings(Connection connection, String pack, long session) throws SQLException {
    this.connection = connection;
    this.pack = pack;
    this.session = session;
    readHours();
    readRows();
  }

  private void readHours() throws SQLException {
    // Where it is lost itself, too much would be taken for lost.
    long retiredMs =
        Database.number(connection, "SELECT max(to_ms) FROM retired").orElse(oldestMs());
    Database.each(
        connection,
        HOURS,
        row -> {
          Hour hour = hours.computeIfAbsent(row.getLong(1), Hour::new);
          hour.expected += row.getLong(2);
          hour.fromMs = Math.min(hour.fromMs, row.getLong(3));
          hour.toMs = Math.max(hour.toMs, row.getLong(4));
        },
        pack,
        session,
        retiredMs);
  }

  private long oldestMs() throws SQLException {
    return Database.number(connection, "SELECT min(start_ms) FROM block")
        .orElse(Long.MAX_VALUE / 2);
  }

  private void readRows() throws SQLException {
    Database.each(
        connection,
        ROWS,
        row -> {
          ReadingsRow readings = ReadingsRow.of(row);
          rows.merge(readings.startMs(), readings.endMs(), Math::max);
          hourOf(readings.startMs()).ifPresent(hour -> hour.present += readings.count());
        },
        pack,
        session);
  }

  private Optional<Hour> hourOf(long timeMs) {
    Map.Entry<Long, Hour> hour = hours.floorEntry(timeMs);
    return hour == null || timeMs >= hour.getValue().endMs()
        ? Optional.empty()
        : Optional.of(hour.getValue());
  }

  /**
   * True when nothing was heard between two readings.
   *
   * @param hoursKnown true when no hour was heard but those that are known
   */
  boolean isQuiet(long fromMs, long toMs, boolean hoursKnown) {
    boolean quiet = isComplete(fromMs) && isComplete(toMs);
    for (long time = fromMs; time < toMs && quiet && !hoursKnown; time += PackStream.HOUR_MS) {
      quiet = isComplete(time);
    }
    return quiet;
  }

  private boolean isComplete(long timeMs) {
    return hourOf(timeMs).filter(hour -> hour.missing() <= 0).isPresent();
  }

  /** True for readings of a file: what they leave out was never told. */
  boolean isImported() throws SQLException {
    return Database.number(connection, "SELECT run FROM session WHERE id = ?", session).orElse(0)
        == 0;
  }

  /**
   * Adds gaps where readings are missing and nothing says so yet.
   *
   * @return what is missing, neighbouring hours together
   */
  List<Loss> tell() throws SQLException {
    List<Span> gaps = new ArrayList<>();
    List<Loss> losses = find(gaps);
    write(gaps);
    return losses;
  }

  /** What is missing and no gap says so; changes nothing. */
  List<Loss> untold() throws SQLException {
    return find(new ArrayList<>());
  }

  private List<Loss> find(List<Span> gaps) throws SQLException {
    List<Loss> losses = new ArrayList<>();
    for (Hour hour : hours.values()) {
      if (hour.missing() > 0 && !isTold(hour)) {
        List<Span> spans = spans(hour);
        Loss loss =
            new Loss(
                pack,
                spans.get(0).fromMs(),
                spans.get(spans.size() - 1).toMs(),
                OptionalLong.of(hour.missing()),
                true,
                "their rows are missing from the log");
        if (!losses.isEmpty() && follows(losses.get(losses.size() - 1).toMs(), loss.fromMs())) {
          losses.set(losses.size() - 1, losses.get(losses.size() - 1).and(loss));
        } else {
          losses.add(loss);
        }
        gaps.addAll(spans);
      }
    }
    return losses;
  }

  /** True when no reading is left between two holes. */
  private boolean follows(long endMs, long startMs) {
    return rows.subMap(endMs, false, Math.max(endMs, startMs), false).isEmpty()
        && startMs - endMs < PackStream.HOUR_MS;
  }

  private boolean isTold(Hour hour) throws SQLException {
    return Database.number(connection, TOLD, pack, session, hour.endMs(), hour.startMs).orElse(0)
        > 0;
  }

  /** Where in an hour nothing is left; the pauses between its polls left out. */
  private List<Span> spans(Hour hour) throws SQLException {
    List<Span> all = new ArrayList<>();
    Map.Entry<Long, Long> before = rows.lowerEntry(hour.startMs);
    long from = Math.max(hour.fromMs, before == null ? hour.fromMs : before.getValue());
    for (Map.Entry<Long, Long> row :
        rows.subMap(hour.startMs, true, hour.endMs(), false).entrySet()) {
      all.add(new Span(from, Math.max(from, row.getKey())));
      from = row.getValue();
    }
    all.add(new Span(from, Math.max(from, Math.min(hour.toMs, nextMs(hour)))));
    long longest = all.stream().mapToLong(Span::lengthMs).max().orElse(0);
    all.removeIf(span -> span.lengthMs() * SHORT < longest);
    return all;
  }

  private long nextMs(Hour hour) throws SQLException {
    Long row = rows.ceilingKey(hour.endMs());
    return Math.min(
        row == null ? Long.MAX_VALUE : row,
        Database.number(connection, NEXT_START, pack, session).orElse(Long.MAX_VALUE));
  }

  private void write(List<Span> spans) throws SQLException {

    List<Span> merged = new ArrayList<>();
    for (Span span : spans) {
      Span last = merged.isEmpty() ? span : merged.get(merged.size() - 1);
      if (!merged.isEmpty() && follows(last.toMs(), span.fromMs())) {
        merged.set(merged.size() - 1, new Span(last.fromMs(), span.toMs()));
      } else {
        merged.add(span);
      }
    }
    for (Span span : merged) {

      Map.Entry<Long, Long> before = rows.floorEntry(span.fromMs());
      long after = before == null ? GapRow.BEFORE_ALL : before.getValue();
      GapRow.writeFound(connection, pack, session, after, span.fromMs(), span.toMs());
    }
  }
}
