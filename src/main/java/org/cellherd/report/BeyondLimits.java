package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;

/**
 * Which cell went furthest beyond its critical limits, read off the log itself: also where no alert
 * was judged, and while one is active whose figures are of an earlier moment.
 */
final class BeyondLimits {

  private static final double MV_PER_V = 1000;
  private static final long MINUTE_MS = 60_000;

  private final ReportInput input;
  private final Tracks tracks;

  BeyondLimits(ReportInput input) {
    this.input = input;
    this.tracks = input.tracks();
  }

  /**
   * None where all cells kept within their limits. Of many days none either: a column is then an
   * hour or a day, whose mean says nothing of a limit.
   */
  List<String> sentences() {
    List<String> sentences = new ArrayList<>();
    if (!ReportInput.isOfManyDays(tracks.fromMs(), tracks.toMs())) {
      RuleSettings high = input.rules().rule(CellHigh.ID);
      RuleSettings low = input.rules().rule(CellLow.ID);
      sentence(1, high.number("limit_mv")).ifPresent(sentences::add);
      double frostMv = isFrozen() ? low.number("frost_mv") : 0;
      sentence(-1, low.number("limit_mv") - frostMv).ifPresent(sentences::add);
    }
    return sentences;
  }

  private boolean isFrozen() {
    return IntStream.rangeClosed(1, tracks.count(Channel.Kind.TEMPERATURE))
        .mapToObj(sensor -> tracks.of(Channel.temperature(sensor)))
        .flatMap(Optional::stream)
        .anyMatch(track -> track.lowest() < 0);
  }

  /** A moment of a cell, V. */
  private record Extreme(int cell, int column, double volts) {}

  /**
   * Of the side on which the limit lies, 1 above and -1 below. A column counts by its mean: a
   * single wrong value is no excursion.
   */
  private Optional<String> sentence(int side, double limitMv) {
    Extreme worst = new Extreme(0, 0, limitMv / MV_PER_V);
    for (int cell = 1; cell <= tracks.count(Channel.Kind.CELL); cell++) {
      Track track = tracks.of(Channel.cell(cell)).orElseGet(() -> new Track(tracks.columns()));
      for (int column = 0; column < track.columns(); column++) {
        if (track.has(column) && side * (track.mean(column) - limitMv / MV_PER_V) > 0) {
          double volts = side > 0 ? track.high(column) : track.low(column);
          boolean isWorse = side * (volts - worst.volts()) > 0;
          worst = isWorse ? new Extreme(cell, column, volts) : worst;
        }
      }
    }
    return worst.cell() == 0 ? Optional.empty() : Optional.of(told(worst, side, limitMv));
  }

  private String told(Extreme worst, int side, double limitMv) {
    double columnMs = (tracks.toMs() - tracks.fromMs()) / (double) tracks.columns();
    long atMs = tracks.fromMs() + Math.round((worst.column() + 0.5) * columnMs);
    return "Cell "
        + worst.cell()
        + (side > 0 ? " reached " : " fell to ")
        + Spoken.volts(worst.volts() * MV_PER_V)
        + (side > 0 ? ", above the alert limit of " : ", below the alert limit of ")
        + Spoken.volts(limitMv)
        + ", on "
        + input.made().day(atMs)
        + (columnMs > MINUTE_MS ? " about " : " at ")
        + SpokenTime.clock(atMs, input.made().zone())
        + ".";
  }
}
