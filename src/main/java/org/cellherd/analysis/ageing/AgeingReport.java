package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.AgeingResult.Life;
import org.cellherd.analysis.result.AgeingResult.Tested;
import org.cellherd.analysis.result.AgeingResult.Use;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** Says how far a pack has aged and what is left. */
final class AgeingReport {
  private static final int[] ENDS_PCT = {80, 70};
  private static final double MOST_USE_DAYS = 7;

  private final PackPlan plan;
  private final Moment moment;
  private final UsageBook book;
  private final CapacityHistory history;
  private final LeadGrowth growth;

  AgeingReport(
      PackPlan plan, Moment moment, UsageBook book, CapacityHistory history, LeadGrowth growth) {
    this.plan = plan;
    this.moment = moment;
    this.book = book;
    this.history = history;
    this.growth = growth;
  }

  Finding finding() {
    Optional<Interval> trend = history.sharePerYear();
    Optional<Interval> health = health();
    OptionalDouble left = history.leftEarlyLevelMs();
    AgeingResult result =
        new AgeingResult(
            plan.priorCycles() + book.cycles(),
            book.cycles(),
            book.days(),
            tests(),
            history.newest(),
            health.map(h -> scaled(h, 100)),
            trend.map(t -> scaled(t, 100)),
            left.isPresent()
                ? OptionalLong.of(moment.wallMs((long) left.getAsDouble()))
                : OptionalLong.empty(),
            life(trend, health),
            basis(trend, health.isPresent()),
            Optional.ofNullable(reason()),
            health.map(h -> used(h.mid())),
            use(),
            book.histogram().depths(),
            growth.cells(),
            growth.leaking());
    return new Finding(
        moment.wallMs(book.firstUpMs()),
        moment.wallMs(book.lastUpMs()),
        result,
        AgeingSentence.of(result, plan.priorCycles(), history.isAtRoom()));
  }

  /** Capacity now over the rated one; empty without a test. */
  private Optional<Interval> health() {
    return history.newest().map(ah -> scaled(ah, 1 / plan.ratedAh()));
  }

  private static Interval scaled(Interval of, double by) {
    return new Interval(by * of.low(), by * of.mid(), by * of.high());
  }

  private List<Tested> tests() {
    return history.entries().stream()
        .map(
            e ->
                new Tested(
                    moment.wallMs((long) e.atMs()),
                    e.ah().mid(),
                    100 * e.ah().mid() / plan.ratedAh(),
                    e.rate(),
                    e.isComparable() && !history.isWild(e)))
        .toList();
  }

  private List<Life> life(Optional<Interval> trend, Optional<Interval> health) {
    Interval left = health.orElseGet(() -> Interval.exactly(1 - modelledLoss()));
    List<Life> rows = new ArrayList<>();
    for (int end : ENDS_PCT) {
      Optional<Interval> least = years(trend, 1 - left.low(), 1 - end / 100.0);
      Optional<Interval> mid = years(trend, 1 - left.mid(), 1 - end / 100.0);
      Optional<Interval> most = years(trend, 1 - left.high(), 1 - end / 100.0);
      rows.add(new Life(end, mid.map(m -> hull(least, m, most)).map(AgeingReport::within)));
    }
    return rows;
  }

  /** From the least that the worst capacity leaves to the most that the best does. */
  private static Interval hull(Optional<Interval> least, Interval mid, Optional<Interval> most) {
    return new Interval(
        Math.min(mid.low(), least.orElse(mid).low()),
        mid.mid(),
        Math.max(mid.high(), most.orElse(mid).high()));
  }

  /** Beyond the horizon a number would claim too much: open. */
  private static Interval within(Interval years) {
    boolean isMidKnown = years.mid() < LifeLeft.MOST_YEARS;
    return years.high() < LifeLeft.MOST_YEARS
        ? years
        : new Interval(
            years.low(), isMidKnown ? years.mid() : years.low(), Double.POSITIVE_INFINITY);
  }

  private Optional<Interval> years(Optional<Interval> trend, double loss, double target) {
    Optional<Interval> tests = trend.flatMap(t -> LifeLeft.byTests(t, loss, target));
    if (!isModelled()) {
      return tests;
    }
    Interval model = LifeLeft.byModel(book.usage().withDefaults(), loss, target);
    return Optional.of(tests.map(t -> LifeLeft.together(model, t)).orElse(model));
  }

  private boolean isModelled() {
    return plan.chemistry() == Chemistry.LFP
        && book.days() >= MOST_USE_DAYS
        && book.usage().withDefaults().isWithinModel();
  }

  /** Loss by the cycles before the log, at the use of the log; calendar time is not known. */
  private double modelledLoss() {
    return LifeModel.advance(
        0,
        book.usage().withDefaults().cyclingRate(),
        LifeModel.CYCLING_POWER,
        plan.priorCycles() + book.cycles());
  }

  private String basis(Optional<Interval> trend, boolean isTested) {
    boolean hasTests = trend.filter(t -> t.high() < 0).isPresent();
    if (!isModelled()) {
      return hasTests ? "tests" : "none";
    }
    if (hasTests) {
      return "model and tests";
    }
    return isTested ? "model from the measured capacity" : "model only";
  }

  private @Nullable String reason() {
    if (plan.chemistry() != Chemistry.LFP) {
      return "the ageing model covers LFP only; four comparable capacity tests over 60 days tell";
    }
    if (book.days() < MOST_USE_DAYS) {
      return "seven days of log are needed to know the use";
    }
    return isModelled() ? null : book.usage().withDefaults().beyondModel();
  }

  /**
   * Cycles used so far by a rule of the second-life trade, common practice, no source: 3,000 to
   * 5,000 cycles to 70 %, straight. Near 82 % about 2,000 are used.
   */
  private static Interval used(double health) {
    double share = Math.max(0, (1 - health) / 0.3);
    return new Interval(3000 * share, 4000 * share, 5000 * share);
  }

  private Use use() {
    Usage use = book.usage();
    return new Use(
        use.celsius(), 100 * use.soc(), 100 * use.depth(), use.rate(), 365.25 * use.cyclesPerDay());
  }
}
