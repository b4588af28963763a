package org.cellherd.report;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.cellherd.analysis.result.LeakWords;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;

/** What gets worse over months, the worst first: only what the errors do not leave open. */
final class WorstTrend {

  /** Said where trends are measured and none is clear of its errors. */
  static final String NOTHING = "Nothing is measurably getting worse yet.";

  private WorstTrend() {}

  /** One or two sentences; empty where the log is too young to tell any trend. */
  static Optional<String> of(List<Finding> findings) {
    return findings.stream()
        .filter(f -> f.result() instanceof AgeingResult)
        .max(Comparator.comparingLong(Finding::toMs))
        .map(f -> (AgeingResult) f.result())
        .flatMap(WorstTrend::of);
  }

  private static Optional<String> of(AgeingResult ageing) {
    Optional<Interval> capacity = ageing.capacityTrendPctPerYear();
    boolean isFalling = capacity.filter(trend -> trend.high() < 0).isPresent();
    Optional<String> leak = leak(ageing.leaking());
    if (leak.isPresent() || isFalling) {
      return Optional.of(
          leak.orElse("") + capacity.filter(c -> isFalling).map(c -> falls(c, leak)).orElse(""));
    }
    return ageing.leadGrowth().isEmpty() && capacity.isEmpty()
        ? Optional.empty()
        : Optional.of(NOTHING);
  }

  /**
   * The cell that ended furthest outside the band, by its own distances: also a log without full
   * charges, in which no lead is measured, shows which cell it is.
   */
  static Optional<String> apart(Tracks tracks, double bandMv) {
    return IntStream.rangeClosed(1, tracks.count(Channel.Kind.CELL))
        .filter(cell -> Math.abs(tracks.lastDeviation(cell).orElse(0)) > bandMv)
        .boxed()
        .max(Comparator.comparingDouble(cell -> Math.abs(tracks.lastDeviation(cell).orElse(0))))
        .map(
            cell -> {
              Track away = tracks.deviation(cell).orElseThrow();
              int first =
                  IntStream.range(0, away.columns()).filter(away::has).findFirst().orElse(0);
              return String.format(
                  Locale.ROOT,
                  "Cell %d ended at %s mV from the median, and began at %s mV.",
                  cell,
                  Spoken.signed(away.mean(away.last()), 0),
                  Spoken.signed(away.mean(first), 0));
            });
  }

  private static Optional<String> leak(List<Leaking> leaking) {
    Optional<Leaking> worst =
        leaking.stream().max(Comparator.comparingDouble(l -> l.leakMa().low()));
    return worst.map(
        leak -> {
          List<String> others =
              leaking.stream()
                  .filter(l -> l.cell() != leak.cell())
                  .map(l -> Integer.toString(l.cell()))
                  .toList();
          return LeakWords.of(leak)
              + (others.isEmpty()
                  ? ""
                  : (others.size() == 1 ? " So does cell " : " So do cells ")
                      + String.join(", ", others)
                      + ", less.");
        });
  }

  private static String falls(Interval trend, Optional<String> leak) {
    return String.format(
        Locale.ROOT,
        "%sCapacity falls by %s %% of the rated a year.",
        leak.isPresent() ? " " : "",
        Spoken.between(-trend.high(), -trend.low(), 1));
  }
}
