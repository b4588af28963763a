package org.cellherd.analysis.energy;

import java.time.LocalDate;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.trend.Crossing;
import org.cellherd.pack.Facts;

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
    Crossing empty) {

  Facts facts() {
    Optional<Interval> at = empty.at();
    Optional<Interval> days = autonomy();
    return Facts.of()
        .put("days_since_full", daysSinceFull, 1)
        .put("round_trip_30d_pct", roundTripPct, 1)
        .put("net_7d_wh", netWeekWh.map(Interval::mid).orElse(Double.NaN), 0)
        .putLow("net_7d_wh_low", netWeekWh.map(Interval::low).orElse(Double.NaN), 0)
        .putHigh("net_7d_wh_high", netWeekWh.map(Interval::high).orElse(Double.NaN), 0)
        .put("autonomy_days", days.map(Outlook::middle).orElse(Double.NaN), 1)
        .putLow("autonomy_days_low", days.map(Interval::low).orElse(Double.NaN), 1)
        .putHigh("autonomy_days_high", days.map(Outlook::highest).orElse(Double.NaN), 1)
        .put("empty_on_early", at.map(i -> date(i.low())).orElse(null))
        .put("empty_on", at.map(i -> date(i.mid())).orElse(null))
        .put("empty_on_late", at.map(i -> date(i.high())).orElse(null))
        .put("empty_reason", empty.reason().isEmpty() ? null : empty.reason())
        .build();
  }

  /** Days; open above where the load may be nothing but an error. */
  private Optional<Interval> autonomy() {
    return loadWh
        .filter(load -> load.mid() > 0)
        .map(
            load ->
                new Interval(
                    Autonomy.days(capacityWh.low(), load.high()),
                    Autonomy.days(capacityWh.mid(), load.mid()),
                    Autonomy.days(capacityWh.high(), load.low())));
  }

  /** Of a range without an end there is no middle. */
  private static double middle(Interval days) {
    return Double.isInfinite(days.high()) ? Double.NaN : days.mid();
  }

  private static double highest(Interval days) {
    return Double.isInfinite(days.high()) ? Double.NaN : days.high();
  }

  private static String date(double epochDay) {
    return LocalDate.ofEpochDay((long) Math.floor(epochDay)).toString();
  }
}
