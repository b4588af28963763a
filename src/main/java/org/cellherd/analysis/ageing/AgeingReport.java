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
    OptionalDouble health = health();
    OptionalDouble left = history.leftEarlyLevelMs();
    AgeingResult result =
        new AgeingResult(
            plan.priorCycles() + book.cycles(),
            book.cycles(),
            book.days(),
            tests(),
            history.newestAh(),
            health.isPresent() ? OptionalDouble.of(100 * health.getAsDouble()) : health,
            trend.map(t -> new Interval(100 * t.low(), 100 * t.mid(), 100 * t.high())),
            left.isPresent()
                ? OptionalLong.of(moment.wallMs((long) left.getAsDouble()))
                : OptionalLong.empty(),
            life(trend),
            basis(trend, health),
            Optional.ofNullable(reason()),
            health.isPresent() ? Optional.of(used(health.getAsDouble())) : Optional.empty(),
            use(),
            book.histogram().depths(),
            growth.cells(),
            growth.leaking());
    return new Finding(
        moment.wallMs(book.firstUpMs()),
        moment.wallMs(book.lastUpMs()),
        result,
        AgeingSentence.of(result, plan.priorCycles()));
  }

  /** Capacity now over the rated one; empty without a test. */
  private OptionalDouble health() {
    OptionalDouble ah = history.newestAh();
    return ah.isPresent() ? OptionalDouble.of(ah.getAsDouble() / plan.ratedAh()) : ah;
  }

  private List<Tested> tests() {
    return history.entries().stream()
        .map(
            e ->
                new Tested(
                    moment.wallMs((long) e.atMs()),
                    e.ah(),
                    100 * e.ah() / plan.ratedAh(),
                    e.rate(),
                    e.isComparable() && !history.isWild(e)))
        .toList();
  }

  private List<Life> life(Optional<Interval> trend) {
    double loss = 1 - health().orElse(1 - modelledLoss());
    List<Life> rows = new ArrayList<>();
    for (int end : ENDS_PCT) {
      rows.add(new Life(end, years(trend, loss, 1 - end / 100.0).map(AgeingReport::within)));
    }
    return rows;
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

  private String basis(Optional<Interval> trend, OptionalDouble health) {
    boolean hasTests = trend.filter(t -> t.high() < 0).isPresent();
    if (!isModelled()) {
      return hasTests ? "tests" : "none";
    }
    if (hasTests) {
      return "model and tests";
    }
    return health.isPresent() ? "model from the measured capacity" : "model only";
  }

  private @Nullable String reason() {
    if (plan.chemistry() != Chemistry.LFP) {
      return "the ageing model covers LFP only; four comparable capacity tests over 60 days tell";
    }
    if (book.days() < MOST_USE_DAYS) {
      return "seven days of log are needed to know the use";
    }
    return isModelled()
        ? null
        : "the use lies outside of the model's data (10 to 45 °C, up to 0.65C)";
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
