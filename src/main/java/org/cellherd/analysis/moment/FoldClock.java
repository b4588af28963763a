package org.cellherd.analysis.moment;

import org.cellherd.analysis.state.State;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;

/**
 * Time as folds count it: milliseconds since the first entry, never running backward, not moved by
 * steps of the wall clock. Folds keep these times and turn them into wall time only when they
 * speak, so that a corrected clock corrects all of them.
 *
 * <p>A session that began with an untrusted clock may have begun "before" the one that ended; the
 * time that lies between is then learned from the step that sets the clock right. Before the first
 * session nothing lies: its step moves no time.
 */
final class FoldClock {
  private boolean isStarted;
  private boolean isUnsure;
  private boolean hasBefore;
  private long upMs;
  private long wallMs;
  private long deficitMs;

  void accept(LogEntry entry) {
    if (entry instanceof ClockStep step) {
      step(step);
      return;
    }
    if (entry instanceof SessionStart start) {
      isUnsure = !start.clockSure();
      hasBefore = isStarted;
      deficitMs = isStarted ? Math.max(0, wallMs - start.timeMs()) : 0;
      forward(start.timeMs());
      wallMs = start.timeMs();
      return;
    }
    forward(entry.timeMs());
  }

  private void forward(long toMs) {
    if (isStarted && toMs > wallMs) {
      upMs += toMs - wallMs;
    }
    wallMs = isStarted ? Math.max(wallMs, toMs) : toMs;
    isStarted = true;
  }

  private void step(ClockStep step) {
    if (isUnsure && hasBefore) {
      upMs += Math.max(0, step.toMs() - step.fromMs() - deficitMs);
      deficitMs = 0;
    }
    isUnsure = false;
    forward(step.fromMs());
    wallMs += step.toMs() - step.fromMs();
  }

  /** Milliseconds since the first entry. */
  long upMs() {
    return upMs;
  }

  /** Wall time of a fold time, ms UTC, by the latest anchor. */
  long wallMs(long atUpMs) {
    return wallMs - upMs + atUpMs;
  }

  void state(State io) {
    isStarted = io.flag(isStarted);
    isUnsure = io.flag(isUnsure);
    hasBefore = io.flag(hasBefore);
    upMs = io.number(upMs);
    wallMs = io.number(wallMs);
    deficitMs = io.number(deficitMs);
  }
}
