package org.cellherd.analysis.meter;

import java.util.Optional;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.fold.History;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.jspecify.annotations.Nullable;

/** The board's own count of charge and energy over a time, with what may be missing in it. */
final class BoardCounter {
  private static final double HOUR_MS = 3_600_000;

  /** Between readings further apart, nothing is counted. */
  private static final long UNHEARD_MS = 150_000;

  /** Where more than this share was not heard, the count says nothing. */
  private static final double MOST_UNHEARD = 0.02;

  /** A board's pack voltage is within this (common practice, no source). */
  private static final double VOLTAGE_ERROR = 0.005;

  /** Where between two readings the current changed is anywhere alike: two standard deviations. */
  private static final double TWO_SIGMA = 2 / Math.sqrt(3);

  private final long fromMs;
  private final long toMs;
  private @Nullable Reading last;
  private double ah;
  private double wh;
  private double voltHours;
  private double heardHours;
  private double stepsSquared;
  private double most;

  BoardCounter(long fromMs, long toMs) {
    this.fromMs = fromMs;
    this.toMs = toMs;
  }

  /** The board's count over a time, from readings that reach beyond it on both sides. */
  static BoardCounter of(History history, String pack, MeterReading meter) throws StorageFailure {
    BoardCounter span = new BoardCounter(meter.fromMs(), meter.toMs());
    history.replay(pack, meter.fromMs() - UNHEARD_MS, meter.toMs() + UNHEARD_MS, span::accept);
    return span;
  }

  void accept(LogEntry entry) {
    if (!(entry instanceof Reading reading) || reading.currentMa().isEmpty()) {
      return;
    }
    Reading before = last;
    last = reading;
    if (before != null && reading.timeMs() - before.timeMs() <= UNHEARD_MS) {
      long inside = Math.min(toMs, reading.timeMs()) - Math.max(fromMs, before.timeMs());
      if (inside > 0) {
        add(before, reading, inside / HOUR_MS);
      }
    }
  }

  private void add(Reading before, Reading now, double hours) {
    double part = (amps(before) + amps(now)) / 2 * hours;
    double volts = BoardSaid.packV(now).orElse(Double.NaN);
    ah += part;
    wh += part * volts;
    voltHours += volts * hours;
    heardHours += hours;
    most = Math.max(most, Math.max(Math.abs(amps(before)), Math.abs(amps(now))));
    // The current may have changed at once, anywhere between the two.
    double step = (amps(now) - amps(before)) / 2 * hours;
    stepsSquared += step * step;
  }

  private static double amps(Reading reading) {
    return reading.currentMa().orElse(0) / 1e3;
  }

  /** Ah counted, positive into the pack; empty where too little was heard. */
  Optional<BoardCount> charge() {
    double hours = (toMs - fromMs) / HOUR_MS;
    double missing = hours - heardHours;
    if (missing > MOST_UNHEARD * hours) {
      return Optional.empty();
    }
    return Optional.of(
        new BoardCount(ah, missing * most + TWO_SIGMA * Math.sqrt(stepsSquared), hours));
  }

  /** Wh counted, so that an offset of the current counts at the mean voltage; empty likewise. */
  Optional<BoardCount> energy() {
    double volts = voltHours / heardHours;
    return Double.isFinite(volts)
        ? charge()
            .map(
                c ->
                    new BoardCount(
                        wh, c.error() * volts + VOLTAGE_ERROR * Math.abs(wh), c.hours() * volts))
        : Optional.empty();
  }
}
