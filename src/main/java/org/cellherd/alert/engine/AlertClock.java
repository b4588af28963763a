package org.cellherd.alert.engine;

import java.time.ZoneId;
import org.cellherd.alert.state.Pulse;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;

/** The engine's time: how much passed between entries, steps of the wall clock taken out. */
final class AlertClock {
  /** More than the usual step: a hole in the log is no time that was watched. */
  private static final long MOST_CREDIT_MS = 30_000;

  private boolean started;
  private long wallMs;
  private long entryAgeMs;
  private long ageMs;
  private long creditMs;
  private long usualStepMs;
  private long session;
  private boolean sure = true;
  private long quietBeforeStartMs = -1;
  private long endBeforeStartMs = -1;

  /** Takes an entry's time and returns by how much the names of all instants moved, ms. */
  long accept(LogEntry entry) {
    if (entry instanceof ClockStep step) {
      forward(step.fromMs());
      wallMs += step.toMs() - step.fromMs();
      sure = true;
      creditMs = 0;
      return step.toMs() - step.fromMs();
    }
    if (entry instanceof SessionStart start) {
      endBeforeStartMs = started ? wallMs : -1;
      quietBeforeStartMs = started && start.clockSure() ? Math.max(0, start.timeMs() - wallMs) : -1;
      session = start.session();
      sure = start.clockSure();
      forward(start.timeMs());
      wallMs = start.timeMs();
      entryAgeMs = ageMs;
      creditMs = 0;
      return 0;
    }
    forward(entry.timeMs());
    credit(ageMs - entryAgeMs);
    entryAgeMs = ageMs;
    return 0;
  }

  /** A slow log's usual step counts whole; anything beyond is a hole. */
  private void credit(long stepMs) {
    boolean isUsual = stepMs <= 3 * usualStepMs;
    creditMs = isUsual ? stepMs : Math.min(MOST_CREDIT_MS, stepMs);
    usualStepMs = stepMs;
  }

  /** Time passes without an entry. */
  void tick(long timeMs) {
    forward(timeMs);
    creditMs = 0;
  }

  private void forward(long toMs) {
    if (started && toMs > wallMs) {
      ageMs += toMs - wallMs;
    }
    wallMs = started ? Math.max(wallMs, toMs) : toMs;
    started = true;
  }

  /** Time without a log before the run began, ms; -1 when it cannot be known. */
  long quietBeforeStartMs() {
    return quietBeforeStartMs;
  }

  /** When the log ended before the run began, ms UTC by its own clock; -1 when nothing is known. */
  long endBeforeStartMs() {
    return endBeforeStartMs;
  }

  Pulse pulse(ZoneId zone, int swing) {
    return new Pulse(wallMs, ageMs, creditMs, swing, session, sure, zone);
  }

  void state(State io) {
    started = io.flag(started);
    wallMs = io.number(wallMs);
    entryAgeMs = io.number(entryAgeMs);
    ageMs = io.number(ageMs);
    creditMs = io.number(creditMs);
    usualStepMs = io.number(usualStepMs);
    session = io.number(session);
    sure = io.flag(sure);
    quietBeforeStartMs = io.number(quietBeforeStartMs);
    endBeforeStartMs = io.number(endBeforeStartMs);
  }
}
