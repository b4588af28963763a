package org.cellherd.store;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.SessionStart.Before;
import org.jspecify.annotations.Nullable;

/**
 * Turns one pack's entries into rows that wait for the commit. Belongs to the writer's thread.
 *
 * <p>Readings gather in a batch; a batch never crosses an hour or a stretch, so that hours can be
 * packed by whole rows.
 */
final class PackStream {

  /** Readings a batch holds at most, whatever the commit's period is. */
  private static final int BATCH = 600;

  /** An hour in ms. */
  public static final long HOUR_MS = 3_600_000;

  private final String pack;
  private final FreeNumbers numbers;
  private final WaitingRows queue;
  private final List<Reading> batch = new ArrayList<>();
  private @Nullable LogSession anchor;
  private long lastMs = GapRow.BEFORE_ALL;
  private @Nullable GapRow lastGap;
  private final EntryCases cases = new EntryCases();

  /** Rows of a pack go into a queue under the next free numbers. */
  public PackStream(String pack, FreeNumbers numbers, WaitingRows queue) {
    this.pack = pack;
    this.numbers = numbers;
    this.queue = queue;
  }

  /** Start of the hour of a time, ms UTC. */
  static long hourOf(long ms) {
    return Math.floorDiv(ms, HOUR_MS) * HOUR_MS;
  }

  public void accept(LogEntry entry) {
    entry.fold(cases);
  }

  /** Moves the batch into the queue. */
  public void seal() {
    if (!batch.isEmpty()) {
      queue.add(ReadingsRow.of(numbers.nextRecent(), pack, session(), batch));
      batch.clear();
    }
  }

  /** Goes on in a log that was written before. */
  public void moveBehind(FreeNumbers there) {
    seal();
    anchor = anchor == null ? null : anchor.behind(there);
    lastGap = lastGap == null ? null : lastGap.behind(there);
  }

  /** True when entries wait in the batch. */
  public boolean hasBatch() {
    return !batch.isEmpty();
  }

  /** Number of the stretch that entries now go to; 0 before the first entry. */
  public long session() {
    return anchor == null ? 0 : anchor.id();
  }

  /** Start of the hour of the newest reading in this stretch, ms UTC. */
  public long hour() {
    return hourOf(lastMs);
  }

  private LogSession anchorAt(long timeMs) {
    LogSession current = anchor;
    if (current == null || timeMs < lastMs) {
      long run = current == null ? 0 : current.run();
      boolean sure = current == null || current.clockSure();
      current = begin(run, LogSession.Kind.PLAIN, timeMs, timeMs, sure, Before.ENDED);
    }
    return current;
  }

  private LogSession begin(
      long run, LogSession.Kind kind, long startMs, long fromMs, boolean sure, Before before) {
    seal();
    LogSession next =
        new LogSession(
            numbers.nextSession(),
            pack,
            numbers.nextRank(),
            run,
            kind,
            startMs,
            fromMs,
            sure,
            before);
    queue.add(next);
    anchor = next;
    lastMs = GapRow.BEFORE_ALL;
    lastGap = null;
    return next;
  }

  /** One function for each kind of entry. */
  private final class EntryCases implements LogEntry.Cases<Boolean> {
    @Override
    public Boolean reading(Reading reading) {
      long timeMs = reading.timeMs();
      anchorAt(timeMs);
      boolean sameHour = hourOf(timeMs) == hour();
      if (batch.size() >= BATCH || !sameHour) {
        seal();
      }
      batch.add(reading);
      lastMs = timeMs;
      lastGap = null;
      return true;
    }

    @Override
    public Boolean gap(Gap gap) {
      GapRow last = lastGap;
      if (last != null && last.growsTo(gap)) {
        note(last.grown(gap));
        return true;
      }
      long session = anchor == null ? anchorAt(gap.toMs()).id() : anchor.id();
      note(new GapRow(numbers.nextGap(), pack, session, lastMs, gap));
      return true;
    }

    private void note(GapRow row) {
      queue.addGap(row);
      lastGap = row;
    }

    @Override
    public Boolean sessionStart(SessionStart start) {
      begin(
          start.session(),
          LogSession.Kind.START,
          start.timeMs(),
          start.timeMs(),
          start.clockSure(),
          start.before());
      return true;
    }

    @Override
    public Boolean clockStep(ClockStep step) {
      long run = anchor == null ? 0 : anchor.run();
      begin(run, LogSession.Kind.STEP, step.toMs(), step.fromMs(), true, Before.ENDED);
      return true;
    }
  }
}
