package org.cellherd.analysis.energy;

import java.time.LocalDate;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.EnergyResult;

/**
 * What the days so far say about the days to come.
 *
 * @param daysSinceFull days since the pack was last full; empty when the log never showed it full
 * @param roundTripPct energy out over energy in between full packs of 30 days
 * @param netWeekWh energy in less energy out of seven days
 * @param loadWh usual energy drawn a day
 * @param capacityWh energy of a full pack
 * @param empty when the daily low reaches empty, days since 1970
 */
record Outlook(
    OptionalDouble daysSinceFull,
    OptionalDouble roundTripPct,
    Optional<Interval> netWeekWh,
    Optional<Interval> loadWh,
    Interval capacityWh,
    TrendCrossing empty) {
  /** Share of the capacity that is used (common practice, no source). */
  private static final double DEPTH = 0.8;

  /** Share of the stored energy that reaches the load (common practice, no source). */
  private static final double EFFICIENCY = 0.95;

  EnergyResult.Outlook told() {
    Optional<Interval> at = empty.at();
    return new EnergyResult.Outlook(
        daysSinceFull,
        roundTripPct,
        netWeekWh,
        autonomy(),
        at.map(i -> date(i.low())),
        at.map(i -> date(i.mid())),
        at.map(i -> date(i.high())),
        Optional.of(empty.reason()).filter(why -> !why.isEmpty()));
  }

  /** Days; open above where the load may be nothing but an error. */
  private Optional<Interval> autonomy() {
    return loadWh
        .filter(load -> load.mid() > 0)
        .map(
            load ->
                days(
                    autonomy(capacityWh.low(), load.high()),
                    autonomy(capacityWh.mid(), load.mid()),
                    autonomy(capacityWh.high(), load.low())));
  }

  /**
   * Days that a full pack lasts without any charge. The sizing rule of stand-alone solar systems,
   * by analogy: the standards that hold it (IEEE 1562, 1013) cover lead-acid only.
   */
  static double autonomy(double capacityWh, double loadWhPerDay) {
    return capacityWh * DEPTH * EFFICIENCY / loadWhPerDay;
  }

  /** Of a range without an end there is no middle. */
  private static Interval days(double low, double mid, double high) {
    return new Interval(low, Double.isInfinite(high) ? low : mid, high);
  }

  private static String date(double epochDay) {
    return LocalDate.ofEpochDay((long) Math.floor(epochDay)).toString();
  }
}
