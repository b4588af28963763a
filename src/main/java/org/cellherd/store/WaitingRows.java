package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.ToLongFunction;
import org.cellherd.pack.Gap;

/**
 * What waits for the next commit, in bounded memory: above the bound the oldest readings go, and a
 * gap says so. Belongs to the writer's thread.
 */
final class WaitingRows {
  private final int mostBytes;
  private final FreeNumbers numbers;
  private final Deque<ReadingsRow> readings = new ArrayDeque<>();
  private final List<WaitingRow> others = new ArrayList<>();
  private final Map<Long, GapRow> gaps = new LinkedHashMap<>();
  private final Map<Long, GapRow> skips = new LinkedHashMap<>();
  private final List<Heard> heard = new ArrayList<>();

  /** The hour of each pack that goes on growing, as it was committed. */
  private final Map<String, Heard> open = new HashMap<>();

  private long bytes;
  private long tailed;
  private long skippedReadings;

  /** Keeps readings of at most some bytes; takes the numbers of gaps from the writer. */
  public WaitingRows(int mostBytes, FreeNumbers numbers) {
    this.mostBytes = mostBytes;
    this.numbers = numbers;
  }

  /** Adds readings; above the bound the oldest go. */
  public void add(ReadingsRow row) {
    readings.add(row);
    bytes += row.bytes();
    count(Heard.of(row));
    while (bytes > mostBytes && readings.size() > 1) {
      skip(readings.remove());
    }
  }

  private void count(Heard more) {
    for (int i = heard.size() - 1; i >= 0; i--) {
      if (heard.get(i).isSameHour(more)) {
        heard.set(i, heard.get(i).and(more));
        return;
      }
    }
    Heard before = open.get(more.pack());
    heard.add(before != null && before.isSameHour(more) ? before.and(more) : more);
  }

  /** Adds anything else. */
  public void add(WaitingRow row) {
    others.add(row);
  }

  /** Adds a gap, or replaces the row of the same number by its grown form. */
  public void addGap(GapRow row) {
    gaps.put(row.id(), row);
  }

  /** Keeps the newest of two snapshots of one fold: an older one is not worth the wait. */
  public void addSnapshot(SnapshotRow row) {
    others.removeIf(
        other ->
            other instanceof SnapshotRow old
                && old.pack().equals(row.pack())
                && old.fold().equals(row.fold()));
    others.add(row);
  }

  private void skip(ReadingsRow row) {
    bytes -= row.bytes();
    skippedReadings += row.count();
    Heard dropped = Heard.of(row);
    heard.replaceAll(hour -> hour.isSameHour(dropped) ? hour.without(dropped) : hour);
    GapRow before = skips.get(row.session());
    long from = before == null ? row.startMs() : before.gap().fromMs();
    long id = before == null ? numbers.nextGap() : before.id();
    Gap gap = new Gap(from, Math.max(from, row.endMs()), Gap.Cause.SKIPPED);
    skips.put(row.session(), new GapRow(id, row.pack(), row.session(), from - 1, gap));
  }

  /** True when nothing waits. */
  public boolean isEmpty() {
    return readings.isEmpty() && others.isEmpty() && gaps.isEmpty() && skips.isEmpty();
  }

  /** True when only gaps wait, which lose little with the power. */
  public boolean isOnlyGaps() {
    return readings.isEmpty() && others.isEmpty();
  }

  /** Readings that were dropped because the disk took none, since the start. */
  public long skippedReadings() {
    return skippedReadings;
  }

  /** True when nothing but readings waits. */
  public boolean isOnlyReadings() {
    return others.isEmpty() && gaps.isEmpty() && skips.isEmpty();
  }

  /** Rows of readings that are not in the tail yet. */
  public List<ReadingsRow> untailed() {
    return readings.stream().filter(row -> row.id() > tailed).toList();
  }

  /** Notes that all rows of readings are in the tail. */
  public void allTailed() {
    if (!readings.isEmpty()) {
      tailed = readings.getLast().id();
    }
  }

  /** Notes that the tail is gone, with all that was in it. */
  public void noneTailed() {
    tailed = 0;
  }

  /** True when something waits that a loss of power would take. */
  public boolean isAtRisk() {
    return !isOnlyReadings() || (!readings.isEmpty() && readings.getLast().id() > tailed);
  }

  /** Rows of readings that wait. */
  public Iterable<ReadingsRow> readings() {
    return readings;
  }

  /**
   * Renumbers all for a log that was written before. States of folds that know nothing of that log
   * are left out: a start would trust them.
   */
  public void moveBehind(FreeNumbers there) {
    others.removeIf(SnapshotRow.class::isInstance);
    others.replaceAll(row -> row.behind(there));
    heard.replaceAll(row -> row.behind(there));
    List<ReadingsRow> rows = readings.stream().map(row -> row.behind(there)).toList();
    readings.clear();
    readings.addAll(rows);
    renumber(gaps, GapRow::id, there);
    renumber(skips, GapRow::session, there);
    tailed = 0;
  }

  private static void renumber(
      Map<Long, GapRow> rows, ToLongFunction<GapRow> key, FreeNumbers there) {
    List<GapRow> moved = rows.values().stream().map(row -> row.behind(there)).toList();
    rows.clear();
    moved.forEach(row -> rows.put(key.applyAsLong(row), row));
  }

  /** Writes everything inside the commit's transaction. */
  public void write(Connection connection) throws SQLException {
    for (WaitingRow row : others) {
      row.write(connection);
    }
    for (WaitingRow row : readings) {
      row.write(connection);
    }
    for (WaitingRow row : heard) {
      row.write(connection);
    }
    for (WaitingRow row : gaps.values()) {
      row.write(connection);
    }
    for (WaitingRow row : skips.values()) {
      row.write(connection);
    }
  }

  public void clear() {
    readings.clear();
    others.clear();
    gaps.clear();
    skips.clear();
    bytes = 0;
    heard.forEach(hour -> open.put(hour.pack(), hour));
    heard.clear();
  }
}
