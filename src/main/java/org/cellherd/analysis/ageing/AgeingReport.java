package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.ToDoubleFunction;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
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
    Facts.Builder facts =
        Facts.of()
            .put("equivalent_full_cycles", plan.priorCycles() + book.cycles(), 2)
            .put("cycles_in_log", book.cycles(), 2)
            .put("log_days", book.days(), 1)
            .put("capacity_history", historyFacts())
            .put("capacity_now_ah", history.newestAh(), 3)
            .put("rated_pct", 100 * health.orElse(Double.NaN), 1);
    trendFacts(facts, trend);
    OptionalDouble left = history.leftEarlyLevelMs();
    if (left.isPresent()) {
      facts.putTime("capacity_left_early_level_at", moment.wallMs((long) left.getAsDouble()));
    }
    List<Facts> life = life(trend);
    facts.put("life", life).put("life_basis", basis(trend, health)).put("reason", reason());
    used(facts, health);
    use(facts);
    facts.put("cycles", book.histogram().facts());
    facts.put("lead_growth", growth.facts()).put("leaking", growth.leaking());
    Facts built = facts.build();
    return ResultForm.finding(
        FindingName.AGEING,
        moment.wallMs(book.firstUpMs()),
        moment.wallMs(book.lastUpMs()),
        built,
        AgeingSentence.of(built, plan.priorCycles()));
  }

  /** Capacity now over the rated one; empty without a test. */
  private OptionalDouble health() {
    OptionalDouble ah = history.newestAh();
    return ah.isPresent() ? OptionalDouble.of(ah.getAsDouble() / plan.ratedAh()) : ah;
  }

  private List<Facts> historyFacts() {
    List<Facts> rows = new ArrayList<>();
    for (CapacityHistory.Entry e : history.entries()) {
      rows.add(
          Facts.of()
              .putTime("at", moment.wallMs((long) e.atMs()))
              .put("ah", e.ah(), 3)
              .put("rated_pct", 100 * e.ah() / plan.ratedAh(), 1)
              .put("c_rate", e.rate(), 3)
              .put("in_trend", e.isComparable() && !history.isWild(e))
              .build());
    }
    return rows;
  }

  private static void trendFacts(Facts.Builder facts, Optional<Interval> trend) {
    facts
        .put("capacity_trend_pct_per_year", pct(trend, Interval::mid), 2)
        .putLow("capacity_trend_pct_per_year_low", pct(trend, Interval::low), 2)
        .putHigh("capacity_trend_pct_per_year_high", pct(trend, Interval::high), 2);
  }

  private static double pct(Optional<Interval> trend, ToDoubleFunction<Interval> part) {
    return trend.map(i -> 100 * part.applyAsDouble(i)).orElse(Double.NaN);
  }

  private List<Facts> life(Optional<Interval> trend) {
    double loss = 1 - health().orElse(1 - modelledLoss());
    List<Facts> rows = new ArrayList<>();
    for (int end : ENDS_PCT) {
      Optional<Interval> years = years(trend, loss, 1 - end / 100.0);
      rows.add(
          Facts.of()
              .put("to_pct", end)
              .putLow("low_years", years.map(Interval::low).orElse(Double.NaN), 1)
              .put("mid_years", within(years.map(Interval::mid)), 1)
              .putHigh("high_years", within(years.map(Interval::high)), 1)
              .build());
    }
    return rows;
  }

  /** Beyond the horizon a number would claim too much: unknown. */
  private static double within(Optional<Double> years) {
    return years.filter(y -> y < LifeLeft.MOST_YEARS).orElse(Double.NaN);
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
  private static void used(Facts.Builder facts, OptionalDouble health) {
    double share = Math.max(0, (1 - health.orElse(Double.NaN)) / 0.3);
    facts
        .putLow("used_cycles_trade_low", 3000 * share, 0)
        .putHigh("used_cycles_trade_high", 5000 * share, 0);
  }

  private void use(Facts.Builder facts) {
    Usage use = book.usage();
    facts
        .put("mean_temp_c", use.celsius(), 1)
        .put("mean_soc_pct", 100 * use.soc(), 1)
        .put("mean_depth_pct", 100 * use.depth(), 0)
        .put("mean_c_rate", use.rate(), 3)
        .put("cycles_per_year", 365.25 * use.cyclesPerDay(), 1);
  }
}
