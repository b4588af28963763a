package org.cellherd.analysis.result;

import java.math.RoundingMode;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;

/**
 * Energy of one local day, and what the days so far say of those to come.
 *
 * @param day as ISO 8601 has it
 * @param hours its length
 * @param chargedWh into the pack
 * @param dischargedWh out of it
 * @param chargedAh into the pack
 * @param dischargedAh out of it
 * @param socMinPct lowest state of charge; NaN when not known
 * @param socMaxPct highest
 * @param depthPct swing, percent of the capacity
 * @param fullMinutes at the top
 * @param coldChargeMinutes charged with a cell sensor below 0 degC
 * @param beyondZoneMinutes charged faster or higher than published tables allow
 * @param hotMinutes with a cell sensor above 45 degC
 * @param peakChargeW greatest power in
 * @param peakDischargeW greatest power out
 * @param coveragePct share of the day that was heard; NaN of less than a minute
 * @param outlook what the days so far say
 */
public record EnergyResult(
    String day,
    @Digits(1) double hours,
    @Digits(1) Interval chargedWh,
    @Digits(1) Interval dischargedWh,
    @Digits(3) double chargedAh,
    @Digits(3) double dischargedAh,
    @Digits(value = 1, to = RoundingMode.FLOOR) double socMinPct,
    @Digits(value = 1, to = RoundingMode.CEILING) double socMaxPct,
    @Digits(1) double depthPct,
    @Digits(0) double fullMinutes,
    @Digits(1) double coldChargeMinutes,
    @Digits(1) double beyondZoneMinutes,
    @Digits(0) double hotMinutes,
    @Digits(0) double peakChargeW,
    @Digits(0) double peakDischargeW,
    @Digits(1) double coveragePct,
    @Inline Outlook outlook)
    implements Result {

  /** What some days took or gave together: in Wh, from 1000 of them in kWh. */
  public static String together(Stream<Interval> wh) {
    Interval sum = wh.reduce(Interval.exactly(0), Interval::plus);
    return sum.mid() < 1000 ? sum.words(1) + " Wh" : sum.times(1e-3).words(1) + " kWh";
  }

  /**
   * What the days so far say of those to come.
   *
   * @param daysSinceFull since the pack was last full
   * @param roundTrip30dPct energy out over energy in between full packs of 30 days
   * @param net7dWh energy in less energy out of seven days
   * @param autonomyDays for which a full pack carries the usual load; open above where that may be
   *     nothing but an error
   * @param emptyOnEarly earliest day on which the daily low reaches empty
   * @param emptyOn the likeliest
   * @param emptyOnLate the latest
   * @param emptyReason why none is told
   */
  public record Outlook(
      @Digits(1) OptionalDouble daysSinceFull,
      @Digits(1) OptionalDouble roundTrip30dPct,
      @Digits(0) Optional<Interval> net7dWh,
      @Digits(1) Optional<Interval> autonomyDays,
      Optional<String> emptyOnEarly,
      Optional<String> emptyOn,
      Optional<String> emptyOnLate,
      Optional<String> emptyReason) {

    public static final Outlook NONE =
        new Outlook(
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
  }

  /** The same day with what it says of those to come. */
  public EnergyResult with(Outlook ahead) {
    return new EnergyResult(
        day,
        hours,
        chargedWh,
        dischargedWh,
        chargedAh,
        dischargedAh,
        socMinPct,
        socMaxPct,
        depthPct,
        fullMinutes,
        coldChargeMinutes,
        beyondZoneMinutes,
        hotMinutes,
        peakChargeW,
        peakDischargeW,
        coveragePct,
        ahead);
  }

  @Override
  public FindingName name() {
    return FindingName.ENERGY;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
