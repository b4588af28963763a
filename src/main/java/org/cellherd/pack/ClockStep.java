package org.cellherd.pack;

/**
 * The wall clock was set: one instant has two names.
 *
 * @param fromMs the instant by the old anchor, ms UTC
 * @param toMs the same instant by the new anchor, ms UTC
 */
public record ClockStep(long fromMs, long toMs) implements LogEntry {
  @Override
  public long timeMs() {
    return toMs;
  }

  @Override
  public <R> R fold(Cases<R> cases) {
    return cases.clockStep(this);
  }
}
