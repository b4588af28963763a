package org.cellherd.board;

import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Pace;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/**
 * When one board was heard, at what pace of its own, and whether a gap lasts. A gap is told once
 * the board was not heard for a few times its pace, and again while it lasts. The poller's thread.
 */
final class Silence {
  private static final long NANOS_PER_MS = 1_000_000L;

  /** A gap that lasts is told again when it has grown by a tenth, within these bounds. */
  private static final long SOONEST_REPEAT_NANOS = 500_000_000L;

  private static final long LATEST_REPEAT_NANOS = 10_000_000_000L;
  private static final long REPEAT_PART = 10;

  /** A board that talks by itself is waited for as if it spoke so seldom, until that is known. */
  private static final long UNKNOWN_PACE_NANOS = 60_000_000_000L;

  /** More than this between two clocks is a new anchor, ms. */
  private static final long ANCHOR_MS = 50;

  private final String pack;
  private final boolean isListening;
  private final LineClock clock;
  private final BoardListener listener;
  private final GapAfter gapAfter;
  private final AnswerTimes answers;
  private final Pace.Polled pace = new Pace.Polled();
  private final long usualPollNanos;
  private long heardNanos;
  private long heardMs;
  private long lostNanos;
  private long toldNanos;
  private boolean wasHeard;
  private boolean isPaceOwn;
  private boolean isGap;
  private Gap.Cause cause = Gap.Cause.NO_BYTES;

  /** Nothing was heard yet. */
  Silence(
      BoardOnLine board,
      LineClock clock,
      BoardListener listener,
      GapAfter gapAfter,
      AnswerTimes answers) {
    this.pack = board.pack();
    this.isListening = board.dialogue().isListenOnly();
    this.usualPollNanos = board.pace().toNanos();
    this.clock = clock;
    this.listener = listener;
    this.gapAfter = gapAfter;
    this.answers = answers;
    this.lostNanos = answers.noticedNanos();
    this.heardNanos = now();
    this.heardMs = clock.anchoredMs().getAsLong();
  }

  private long now() {
    return clock.time().monotonicNanos();
  }

  /** True while a gap lasts. */
  boolean isGap() {
    return isGap;
  }

  /** True once the board was heard. */
  boolean wasHeard() {
    return wasHeard;
  }

  /** Since the board was heard, ns. */
  long nanos() {
    return now() - heardNanos;
  }

  /** True where a board is asked faster than usual; one that talks by itself does not care. */
  private boolean isFast(long statedNanos) {
    return !isListening && statedNanos < usualPollNanos;
  }

  /** The time to the next reading, ns, for a board that is polled or said to speak so often. */
  long usualNanos(long statedNanos) {
    if (isListening && wasHeard && !pace.isKnown()) {
      return Math.max(statedNanos, UNKNOWN_PACE_NANOS);
    }
    long stated = isFast(statedNanos) ? usualPollNanos : statedNanos;
    long usualMs =
        pace.usualMs(
            stated / NANOS_PER_MS,
            statedNanos / NANOS_PER_MS,
            answers.longestNanos() / NANOS_PER_MS);
    return Math.max(statedNanos, usualMs * NANOS_PER_MS);
  }

  /** A silence that lasts so long is a gap, ns. */
  private long gapNanos(long statedNanos) {
    return isFirstDue() ? UNKNOWN_PACE_NANOS : gapAfter.nanos(usualNanos(statedNanos), lostNanos);
  }

  /** True while no byte came yet from a board that talks when it wants. */
  boolean isFirstDue() {
    return isListening && !wasHeard && !isGap && cause == Gap.Cause.NO_BYTES;
  }

  /** A reading ends the silence, and its gap where one was told; told itself where it is taken. */
  void end(Reading reading, boolean isTaken, long statedNanos) {
    if (isGap) {
      long from = sinceMs(reading.timeMs());
      tell(new Gap(from, reading.timeMs(), cause));
      listener.note(pack, "heard again after " + Spoken.duration(reading.timeMs() - from));
      isGap = false;
    }
    if (isPaceOwn) {
      pace.add(nanos() / NANOS_PER_MS, isFast(statedNanos));
    }
    cause = Gap.Cause.NO_BYTES;
    isPaceOwn = true;
    wasHeard = true;
    heardNanos = now();
    heardMs = reading.timeMs();
    lostNanos = answers.noticedNanos();
    if (isTaken) {
      tell(reading);
    }
  }

  /** Nothing was heard where something was due. */
  void goesOn(Gap.Cause why, long statedNanos) {
    cause = why;
    if (isGap) {
      repeat();
    } else if (nanos() >= gapNanos(statedNanos)) {
      tellGap();
    }
  }

  /** An answer came, but no reading can be made of it before all others that may come. */
  void answeredLate() {
    lostNanos = nanos() + answers.wholeNanos();
  }

  /** An answer is waited for, maybe longer than the board usually takes to be heard. */
  void waits(long statedNanos) {
    goesOn(cause, statedNanos);
  }

  /** The line itself is gone: known at once. */
  void lineLost(Gap.Cause why) {
    isPaceOwn = false;
    boolean isNew = !isGap || cause != why;
    cause = why;
    if (isNew) {
      tellGap();
    } else {
      repeat();
    }
  }

  /** This process did not run for a while: nobody knows what the board said meanwhile. */
  void stoodStill(long statedNanos) {
    isPaceOwn = false;
    if (isGap || nanos() < gapNanos(statedNanos)) {
      return;
    }
    long nowMs = clock.anchoredMs().getAsLong();
    Gap gap = new Gap(sinceMs(nowMs), nowMs, Gap.Cause.NOT_RUNNING);
    listener.note(
        pack,
        "not watched for "
            + Spoken.duration(gap.toMs() - gap.fromMs())
            + ": this program stood still, as on a computer that is suspended or overloaded");
    tell(gap);
    heardNanos = now();
    heardMs = nowMs;
  }

  /** Says again that the gap lasts, when it is time. */
  void repeat() {
    long grown = Math.min(LATEST_REPEAT_NANOS, nanos() / REPEAT_PART);
    if (isGap && now() - toldNanos >= Math.max(SOONEST_REPEAT_NANOS, grown)) {
      tellGap();
    }
  }

  private void tellGap() {
    long nowMs = clock.anchoredMs().getAsLong();
    isGap = true;
    tell(new Gap(sinceMs(nowMs), nowMs, cause));
  }

  private void tell(LogEntry entry) {
    toldNanos = now();
    listener.heard(pack, entry);
  }

  /** The last thing heard, by the anchor that holds now. */
  private long sinceMs(long nowMs) {
    long byDuration = nowMs - nanos() / NANOS_PER_MS;
    if (Math.abs(byDuration - heardMs) > ANCHOR_MS) {
      heardMs = byDuration;
    }
    return Math.min(heardMs, nowMs);
  }
}
