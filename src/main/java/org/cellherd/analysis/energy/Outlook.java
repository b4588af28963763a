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
    OptionalDouble netWeekWh,
    OptionalDouble loadWh,
    double capacityWh,
    Crossing empty) {

  Facts facts() {
    Optional<Interval> at = empty.at();
    return Facts.of()
        .put("days_since_full", daysSinceFull, 1)
        .put("round_trip_30d_pct", roundTripPct, 1)
        .put("net_7d_wh", netWeekWh, 0)
        .put("autonomy_days", autonomy(), 1)
        .put("empty_on_early", at.map(i -> date(i.low())).orElse(null))
        .put("empty_on", at.map(i -> date(i.mid())).orElse(null))
        .put("empty_on_late", at.map(i -> date(i.high())).orElse(null))
        .put("empty_reason", empty.reason().isEmpty() ? null : empty.reason())
        .build();
  }

  private OptionalDouble autonomy() {
    return loadWh.isPresent() && loadWh.getAsDouble() > 0
        ? OptionalDouble.of(Autonomy.days(capacityWh, loadWh.getAsDouble()))
        : OptionalDouble.empty();
  }

  private static String date(double epochDay) {
    return LocalDate.ofEpochDay((long) Math.floor(epochDay)).toString();
  }
}
