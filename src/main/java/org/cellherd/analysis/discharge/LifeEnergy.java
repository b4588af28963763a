package org.cellherd.analysis.discharge;

import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.AgeingResult.Life;

/**
 * What a pack may still give in its life, by the finding of ageing: years left at the present use,
 * times the cycles of a year, times the energy of a cycle as it fades to its end.
 *
 * @param toPct share of the rated capacity at the end, percent
 * @param years until then
 * @param kwh until then
 */
public record LifeEnergy(int toPct, Interval years, Interval kwh) {

  private static final double WH_PER_KWH = 1000;

  /** By a finding of ageing and the newest test; empty where either leaves it open. */
  public static Optional<LifeEnergy> of(Finding ageing, TestedDischarge test) {
    Optional<AgeingResult> aged = ageing.result(AgeingResult.class);
    double cycles = aged.map(a -> a.use().cyclesPerYear()).orElse(Double.NaN);
    double now = 100 * test.ah().mid() / test.ratedAh();
    if (!(cycles > 0) || Double.isNaN(now)) {
      return Optional.empty();
    }
    Optional<LifeEnergy> longest = Optional.empty();
    for (Life row : aged.orElseThrow().life()) {
      Optional<LifeEnergy> life = row.years().flatMap(y -> of(row.toPct(), y, test, cycles, now));
      longest = life.isPresent() ? life : longest;
    }
    return longest;
  }

  private static Optional<LifeEnergy> of(
      int to, Interval years, TestedDischarge test, double cycles, double nowPct) {
    if (Double.isInfinite(years.high()) || to >= nowPct) {
      return Optional.empty();
    }
    double faded = to / nowPct;
    Interval wh = test.whInterval();
    double perYear = cycles * test.ratedAh() / test.ah().mid() / WH_PER_KWH;
    return Optional.of(
        new LifeEnergy(
            to,
            years,
            new Interval(
                years.low() * perYear * wh.low() * faded,
                years.mid() * perYear * wh.mid() * (1 + faded) / 2,
                years.high() * perYear * wh.high())));
  }
}
