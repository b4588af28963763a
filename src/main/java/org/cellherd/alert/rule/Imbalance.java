package org.cellherd.alert.rule;

import java.util.Comparator;
import java.util.List;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.balance.BalanceWords;
import org.cellherd.analysis.balance.OutlierCell;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Balance gets worse or does not get better: the top balance stalls or diverges, the lead of the
 * first cell has grown since the best full charge by more than its bounds allow, or a capacity test
 * showed that other cells are full first than are empty first and what that costs.
 */
final class Imbalance extends Rule {
  static final RuleId ID = new RuleId("imbalance");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID,
          "balancing stalls or gets worse, or unequal charge costs 5 % of a tested capacity.",
          Imbalance::defaults,
          Imbalance::new);

  /**
   * Cells show how they stand at the top only, which some packs reach once in days: a top or two
   * that go well are no balance. Pauses shorter than this lie within one of them.
   */
  private static final int SHOWN_TOPS = 3;

  private static final long TOPS_APART_MS = 12L * 3_600_000;

  private final double growthAh;
  private final double costsAh;
  private final double leastAh;
  private double bestHighAh = Double.NaN;
  private double lastLowAh = Double.NaN;
  private double lastHighAh = Double.NaN;
  private int lastCell;

  /** What was told last is how one night went, and no measurement. */
  private boolean isByTheNight;

  /** Tops since then that went well, and when the latest top was last seen. */
  private int goodTops;

  private long topAgeMs;

  /** What the last cell lacks against all others, NaN where a first cell stands apart. */
  private double lastBehindAh = Double.NaN;

  private double lastCostsAh = Double.NaN;
  private double mostCostsAh = Double.NaN;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("growth_pct", 2, 0.1, 50, "lead grown by this share of the rated capacity")
        .number("costs_pct", 5, 0.5, 50, "balancing would bring this share of the rated capacity")
        .number("least_pct", 0.5, 0, 50, "a stalled lead below this share is not reported")
        .delays(1800, 3600)
        .repeatedAfter(24);
  }

  Imbalance(PackPlan plan, RuleSettings set) {
    super(Terms.live(set, "Ah").judgedEvery(60_000));
    growthAh = plan.ratedAh() * set.number("growth_pct") / 100;
    costsAh = plan.ratedAh() * set.number("costs_pct") / 100;
    leastAh = plan.ratedAh() * set.number("least_pct") / 100;
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.fresh().isEmpty()) {
      return;
    }
    double growth = lastLowAh - bestHighAh;
    boolean isMeasured = growth > growthAh || lastCostsAh > costsAh;
    boolean isBadState =
        input.view().balanceState() == BalanceView.State.STALLED
            || input.view().balanceState() == BalanceView.State.DIVERGING;
    if (!isMeasured && !isBadState && !out.needs(0, 0)) {
      return;
    }
    BalanceView balance = input.view().balance();
    boolean isStalled =
        balance.state() == BalanceView.State.STALLED && !(leadAh(balance) < leastAh);
    boolean isBad = isStalled || balance.state() == BalanceView.State.DIVERGING;
    countTops(input, balance, isBad);
    isByTheNight = isBad || (isByTheNight && !(growth > growthAh) && !(lastCostsAh > costsAh));
    if (isBad) {
      out.judge(0, new Judgement(1, false, leadAh(balance), Double.NaN, () -> atTop(balance)));
    } else if (growth > growthAh) {
      out.judge(0, new Judgement(1, false, lastLowAh, bestHighAh, this::grown));
    } else if (lastCostsAh > costsAh) {
      out.judge(0, new Judgement(1, false, lastCostsAh, costsAh, this::costly));
    } else {
      out.judge(0, better(balance, growth));
    }
  }

  private void countTops(RuleInput input, BalanceView balance, boolean isBad) {
    if (isBad) {
      goodTops = 0;
    } else if (isAtTop(balance) && input.ageMs() - topAgeMs > TOPS_APART_MS) {
      goodTops++;
    }
    topAgeMs = isAtTop(balance) ? input.ageMs() : topAgeMs;
  }

  private static boolean isAtTop(BalanceView balance) {
    return balance.state() != BalanceView.State.UNKNOWN
        && balance.state() != BalanceView.State.NOT_AT_TOP;
  }

  /**
   * What was measured must surely be better by half: a measurement that says less is no
   * improvement, and a lead around the limit would raise the alert anew each few days.
   */
  private Judgement better(BalanceView balance, double growth) {
    boolean isTold =
        isByTheNight || isAtTop(balance) || !Double.isNaN(growth) || !Double.isNaN(lastCostsAh);
    boolean isHalf = !(lastHighAh - bestHighAh > growthAh / 2) && !(mostCostsAh > costsAh / 2);
    boolean isShown =
        !isByTheNight
            || balance.state() == BalanceView.State.BALANCED
            || (goodTops >= SHOWN_TOPS && !isAtTop(balance));
    return new Judgement(
        0, isTold && isHalf && isShown, leadAh(balance), Double.NaN, () -> Words.NONE);
  }

  /** The greatest lead of each full charge, the best of them, and what the last test showed. */
  @Override
  public void watch(RuleInput input) {
    for (Finding finding : input.view().completed()) {
      finding
          .result(CapacityResult.class)
          .flatMap(CapacityResult::usable)
          .ifPresent(usable -> costs(usable.imbalanceCosts().ah()));
      finding.result(FullChargeResult.class).ifPresent(this::charged);
    }
  }

  private void costs(Interval ah) {
    lastCostsAh = ah.low();
    mostCostsAh = ah.high();
  }

  private void charged(FullChargeResult charge) {
    if (charge.state() == BalanceView.State.BALANCED && !Double.isNaN(lastCostsAh)) {
      costs(Interval.exactly(0));
    }
    List<Lead> leads = charge.lead().stream().map(l -> new Lead(l.cell(), l.ah())).toList();
    leads.stream().max(Comparator.comparingDouble(l -> l.ah().mid())).ifPresent(this::greatest);
    OutlierCell.of(leads).filter(OutlierCell::isBehind).ifPresent(this::behind);
  }

  private void greatest(Lead first) {
    lastLowAh = first.ah().low();
    lastCell = first.cell();
    lastBehindAh = Double.NaN;
    lastHighAh = first.ah().high();
    bestHighAh = Double.isNaN(bestHighAh) ? lastHighAh : Math.min(bestHighAh, lastHighAh);
  }

  private void behind(OutlierCell last) {
    lastCell = last.cell();
    lastBehindAh = last.ah().low();
  }

  /** NaN where one lead is open, too. */
  private static double leadAh(BalanceView balance) {
    return balance.leads().stream()
        .mapToDouble(l -> Double.isInfinite(l.ah().high()) ? Double.NaN : l.ah().mid())
        .max()
        .orElse(Double.NaN);
  }

  private static Words atTop(BalanceView balance) {
    String cell =
        OutlierCell.of(balance.leads())
            .filter(a -> BalanceWords.isTelling(a.ah()))
            .map(a -> ", cell " + a.words("is"))
            .orElse("");
    boolean isStalled = balance.state() == BalanceView.State.STALLED;
    return new Words(
        (isStalled ? "Balancing has stalled" : "The cells drift apart at the top") + cell,
        balance.reasons().isEmpty() ? "" : "Seen: " + String.join("; ", balance.reasons()) + ".",
        isStalled
            ? "Check that the charge goes on and that the board bleeds."
            : "Lower the charge current and look at the first cell and its straps.",
        Facts.of()
            .put("state", balance.state().word())
            .put("spread_mv", balance.spreadMv(), 1)
            .put("bleed_a", balance.bleedA(), 3)
            .build());
  }

  private static String apart(int cell, double ah, boolean isBehind) {
    return cell
        + " is "
        + Spoken.number(ah, 1)
        + (isBehind ? " Ah behind all others" : " Ah ahead");
  }

  private Words grown() {
    boolean isBehind = !Double.isNaN(lastBehindAh);
    return Words.of(
        "Cell "
            + apart(lastCell, isBehind ? lastBehindAh : lastLowAh, isBehind)
            + " at full charge; at the best the cells were within "
            + Spoken.high(bestHighAh, 1)
            + " Ah",
        "Give the pack a long charge at its top, and look for a cell that leaks.",
        Facts.of().putLow("lead_ah", lastLowAh, 2).putHigh("best_ah", bestHighAh, 2).build());
  }

  private Words costly() {
    return Words.of(
        "Unequal charge of the cells costs at least "
            + Spoken.low(lastCostsAh, 1)
            + " Ah of each discharge",
        "Give the pack a long charge at its top, so that the board balances it.",
        Facts.of().putLow("costs_ah", lastCostsAh, 2).build());
  }

  @Override
  public void state(State io) {
    bestHighAh = io.number(bestHighAh);
    lastLowAh = io.number(lastLowAh);
    lastHighAh = io.number(lastHighAh);
    lastCell = io.number(lastCell);
    lastBehindAh = io.number(lastBehindAh);
    lastCostsAh = io.number(lastCostsAh);
    mostCostsAh = io.number(mostCostsAh);
    isByTheNight = io.flag(isByTheNight);
    goodTops = io.number(goodTops);
    topAgeMs = io.number(topAgeMs);
  }
}
