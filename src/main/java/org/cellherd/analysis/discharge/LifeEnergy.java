package org.cellherd.analysis.discharge;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Facts;

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
    double cycles = ageing.facts().number("cycles_per_year").orElse(Double.NaN);
    double now = 100 * test.ah().mid() / test.ratedAh();
    if (!(cycles > 0) || Double.isNaN(now)) {
      return Optional.empty();
    }
    Optional<LifeEnergy> longest = Optional.empty();
    for (Object row : (List<?>) ageing.facts().get("life").orElse(List.of())) {
      Optional<LifeEnergy> life = of((Facts) row, test, cycles, now);
      longest = life.isPresent() ? life : longest;
    }
    return longest;
  }

  private static Optional<LifeEnergy> of(
      Facts row, TestedDischarge test, double cycles, double nowPct) {
    double low = row.number("low_years").orElse(Double.NaN);
    double mid = row.number("mid_years").orElse(Double.NaN);
    double high = row.number("high_years").orElse(Double.NaN);
    int to = (int) row.number("to_pct").orElse(0);
    if (!(low <= mid && mid <= high) || to >= nowPct) {
      return Optional.empty();
    }
    double faded = to / nowPct;
    Interval wh = test.whInterval();
    double perYear = cycles * test.ratedAh() / test.ah().mid() / WH_PER_KWH;
    return Optional.of(
        new LifeEnergy(
            to,
            new Interval(low, mid, high),
            new Interval(
                low * perYear * wh.low() * faded,
                mid * perYear * wh.mid() * (1 + faded) / 2,
                high * perYear * wh.high())));
  }
}
