package org.cellherd.analysis.balance;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.function.Function;
import java.util.stream.Stream;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Charge;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.Levelled;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.ChargeEnd;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.analysis.result.BalanceResult.Costs;
import org.cellherd.analysis.result.BalanceResult.Hours;
import org.cellherd.analysis.result.BalanceResult.LastTop;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.FullChargeResult.CellLead;
import org.cellherd.analysis.result.FullChargeResult.Side;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.SpokenTime;
import org.jspecify.annotations.Nullable;

/** Says where the balance stands: view, facts and sentence from one set of numbers. */
final class BalanceReport {
  private static final double FLOAT_BELOW_MV = 50;
  private static final double HOLD_HOURS_MS = 3_600_000;

  /** More than the standing load of a pack, share of the rated charge an hour. */
  private static final double LOAD_RATE = 0.01;

  private final BalanceParts parts;
  private final Moment moment;
  private final BleedRate rate;

  BalanceReport(BalanceParts parts, Moment moment) {
    this.parts = parts;
    this.moment = moment;
    this.rate = parts.rate();
  }

  BalanceView view() {
    if (moment.reading().isEmpty()) {
      return BalanceView.UNKNOWN;
    }
    State state = parts.watch.state();
    Optional<Forecast> forecast = forecast(state);
    boolean isSeen = rate.isSeen() || parts.plan.board().isPresent();
    OptionalLong since = parts.watch.sinceUpMs();
    return new BalanceView(
        state,
        charge(),
        moment.spread() == Moment.MISSING
            ? OptionalDouble.empty()
            : OptionalDouble.of(moment.spread() / 10.0),
        parts.leadsNow(),
        isSeen ? OptionalDouble.of(rate.decline().mid()) : OptionalDouble.empty(),
        forecast.map(Forecast::remainingAh),
        forecast.flatMap(Forecast::hours),
        since.isPresent()
            ? OptionalLong.of(moment.wallMs(since.getAsLong()))
            : OptionalLong.empty(),
        new Reasons(parts, moment, rate).list(state, charge()),
        Optional.ofNullable(parts.lastTop()),
        parts.levelled());
  }

  private Charge charge() {
    if (parts.episode.isActive() && parts.isBouncing()) {
      return Charge.BOUNCING;
    }
    if (moment.flowingMa() > 0) {
      return Charge.FLOWING;
    }
    if (moment.phase() != Phase.HOLD || moment.isChargeOpen()) {
      return Charge.ABSENT;
    }
    boolean wasFull = parts.episode.end() != ChargeTermination.UNKNOWN;
    return wasFull && parts.belowChargeMv() > FLOAT_BELOW_MV ? Charge.FLOAT : Charge.HELD;
  }

  private Optional<Forecast> forecast(State state) {
    if (state == State.BALANCED) {
      return Optional.of(Forecast.done());
    }
    Lead most = parts.toBleed();
    if (most == null) {
      return Optional.empty();
    }
    double holdHours = parts.holdMs(most) / HOLD_HOURS_MS;
    double even = parts.watch.evenMs(moment.upMs()) / HOLD_HOURS_MS;
    if (even > 0) {
      Forecast holding = Forecast.holding(holdHours - even, holdHours);
      return Optional.of(parts.isSurelyEven() ? holding : holding.withoutEnd());
    }
    Forecast byRate = Forecast.of(most.ah(), parts.allowedAh(), rate.decline(), holdHours);
    Forecast wide = isBleedKnown() ? byRate : byRate.withoutEnd();
    boolean isGoing = state == State.CONVERGING || state == State.UNKNOWN;
    if (!isGoing || parts.isNotBled() || isDrawn()) {
      return Optional.of(new Forecast(wide.remainingAh(), Optional.empty()));
    }
    if (isRelaxing()) {
      return Optional.of(wide.withoutEnd());
    }
    Optional<Forecast> byModel =
        parts
            .hoursByModel()
            .map(hours -> new Forecast(wide.remainingAh(), Optional.of(hours)).held(holdHours));
    return Stream.of(Optional.of(wide), byModel, byLine(most, holdHours))
        .flatMap(Optional::stream)
        .map(f -> f.notBefore(parts.watch.soonestHours(parts.allowedAh())))
        .min(Comparator.comparingDouble(Forecast::width));
  }

  /** True while a load draws: nothing comes to an end by then. */
  private boolean isDrawn() {
    return moment.flowingMa() < -1000 * LOAD_RATE * parts.plan.ratedAh();
  }

  /**
   * True while perhaps nothing holds the cells up: what falls then may be cells that relax after
   * their charge as well as what is bled, and what is bled ends as they sink below the level for
   * it. What flows may be no more than the offset of the board's current.
   */
  private boolean isRelaxing() {
    Charge charge = charge();
    double offsetMa = 1000 * CurrentFit.usualOffsetA(parts.plan.ratedAh());
    boolean isFed = charge == Charge.BOUNCING || moment.flowingMa() > offsetMa;
    boolean isHeld = charge != Charge.ABSENT && parts.belowChargeMv() <= Trips.HELD_WITHIN_MV;
    return !isFed && !isHeld;
  }

  /** By the lead as it falls; empty where it may as well stand still. */
  private Optional<Forecast> byLine(Lead most, double holdHours) {
    FadingLine line = parts.watch.lead();
    return line.count() < 20 || line.slope().mid() + line.slope().half() >= 0
        ? Optional.empty()
        : Optional.of(Forecast.ofLine(line, most.ah(), parts.allowedAh(), holdHours));
  }

  /**
   * Whether the board bleeds at all, and while what flows now, only the plan, its flags or a lead
   * that falls can tell.
   */
  private boolean isBleedKnown() {
    boolean isSeen = rate.isSeen() && rate.decline().interval().low() >= Progress.LEAST_FALL_A;
    return isSeen || isBleedTold();
  }

  private boolean isBleedTold() {
    boolean isPlanned = parts.plan.board().map(b -> b.bleedMa().orElse(0)).orElse(0) > 0;
    return isPlanned || (parts.pull.isTold() && parts.duty().isPresent());
  }

  /**
   * All of it.
   *
   * @param others what the other analyses tell now
   */
  Optional<Finding> finding(Function<FindingName, Optional<Finding>> others) {
    if (moment.reading().isEmpty()) {
      return Optional.empty();
    }
    BalanceView view = view();
    Cause cause = cause(others);
    return Optional.of(
        new Finding(
            moment.wallMs(parts.episode.isActive() ? parts.episode.startUpMs() : moment.upMs()),
            moment.wallMs(moment.upMs()),
            ResultForm.asStored(BalanceResult.class, result(view, cause)),
            sentence(view) + (cause.isFault() ? " " + cause.text() : "")));
  }

  private Cause cause(Function<FindingName, Optional<Finding>> others) {
    List<Lead> leads = parts.leadsNow();
    return Cause.judge(
        new Cause.Evidence(
            parts.phases,
            parts.runs,
            parts.steps,
            parts.joints().orElse(List.of()),
            parts.estimator,
            parts.plan,
            leads,
            others),
        moment.series(),
        OutlierCell.surely(leads).orElse(null));
  }

  private BalanceResult result(BalanceView v, Cause cause) {
    return new BalanceResult(
        v.state(),
        v.charge(),
        v.spreadMv(),
        v.leads().stream().map(l -> new CellLead(l.cell(), l.ah())).toList(),
        v.bleedA(),
        v.remainingAh().filter(ah -> Double.isFinite(ah.high())),
        v.etaHours().map(Hours::of),
        v.sinceMs(),
        v.reasons(),
        v.lastTop()
            .map(t -> new LastTop(t.state(), t.atMs(), t.leftApart().map(BalanceReport::told))),
        v.levelled().apart().map(BalanceReport::told),
        v.levelled().balancedAtMs(),
        cause.word(),
        cause.text(),
        AnalysisSettings.BOARD_FLOOR_MV,
        rate.source(),
        parts.cellGrowth(),
        costly(),
        parts.phases.all());
  }

  static FullChargeResult.Apart told(BalanceView.Apart a) {
    return new FullChargeResult.Apart(a.cell(), a.isBehind() ? Side.BEHIND : Side.AHEAD, a.ah());
  }

  private Optional<Costs> costly() {
    return Optional.ofNullable(parts.history.daysTo(0.05 * parts.plan.ratedAh()))
        .filter(days -> days.mid() <= 3650)
        .map(Costs::new);
  }

  private String sentence(BalanceView v) {
    String ahead = OutlierCell.of(v.leads()).flatMap(a -> ahead(v, a)).orElse(null);
    return switch (v.state()) {
      case BALANCED ->
          (parts.watch.isAsEvenAsItGets() ? asEvenAsItGets() : balanced(v)) + before(v.levelled());
      case CONVERGING, UNKNOWN -> moving(ahead, v.etaHours().orElse(null));
      case STALLED ->
          (ahead == null
                  ? "The cells are " + BalanceWords.mv(v.spreadMv().orElse(0)) + " apart"
                  : ahead)
              + " and nothing brings it closer now.";
      case DIVERGING ->
          (ahead == null ? "The cells" : ahead + ", and the cells") + " move further apart.";
      case NOT_AT_TOP -> notAtTop(v, ahead);
    };
  }

  /**
   * Who leads by how much; within what all are where that is open; nothing where nothing is known.
   */
  private static Optional<String> ahead(BalanceView v, OutlierCell a) {
    if (a.isBehind() || (a.ah().low() > 0 && BalanceWords.isTelling(a.ah()))) {
      return Optional.of("Cell " + a.words("is"));
    }
    double widest = v.leads().stream().mapToDouble(l -> l.ah().high()).max().orElse(0);
    return BalanceWords.isBounded(a.ah())
        ? Optional.of("All cells are within " + BalanceWords.upTo(widest) + " of each other")
        : Optional.empty();
  }

  private String balanced(BalanceView v) {
    return "Balanced since "
        + SpokenTime.minute(v.sinceMs().orElse(moment.wallMs(moment.upMs())), parts.settings.zone())
        + ": the cells have stayed within "
        + parts.settings.balancedMv()
        + " mV of each other at the top.";
  }

  private static String before(Levelled levelled) {
    return levelled.apart().map(a -> " Cell " + BalanceWords.was(a) + ".").orElse("");
  }

  private String asEvenAsItGets() {
    return "Balanced as far as this board goes: the cells have come within "
        + BalanceWords.mv(parts.watch.smoothMv())
        + " of each other, and it bleeds no further.";
  }

  private String moving(@Nullable String ahead, @Nullable Interval eta) {
    if (ahead == null) {
      return moment.present() > 0 && moment.highest() >= parts.settings.kneeMv() * 10
          ? "At the top; by how many Ah the cells are apart is not known yet."
          : "Nothing can be said yet: no cell has come to the top.";
    }
    return eta == null ? ahead + "." : ahead + "; " + BalanceWords.toBalance(eta) + ".";
  }

  private String notAtTop(BalanceView v, @Nullable String ahead) {
    if (v.lastTop().isEmpty()) {
      return "Not at the top of a charge: voltages here do not tell balance.";
    }
    BalanceView.LastTop top = v.lastTop().get();
    if (moment.series() < 2) {
      return "Not at the top; one cell alone has nothing to be balanced with.";
    }
    String at = "at the last top, " + SpokenTime.minute(top.atMs(), parts.settings.zone()) + ", ";
    if (top.state() == State.BALANCED) {
      return "Not at the top; " + at + "the pack was balanced." + before(v.levelled());
    }
    return "Not at the top; "
        + top.leftApart()
            .map(
                a ->
                    at
                        + "cell "
                        + FullChargeReport.ended(OutlierCell.of(a), v.levelled())
                        + "."
                        + sinceThen(a, v, ahead))
            .orElse(ahead == null ? untold(top) : uncapitalized(ahead) + ".");
  }

  /** What is left now, where less is for sure: a board may bleed at rest. */
  private static String sinceThen(BalanceView.Apart then, BalanceView v, @Nullable String ahead) {
    boolean isLess =
        OutlierCell.of(v.leads()).filter(now -> now.ah().high() < then.ah().low()).isPresent();
    return isLess && ahead != null ? " It was bled since: " + uncapitalized(ahead) + " now." : "";
  }

  /** Why the last top told no lead, and what would. */
  private String untold(BalanceView.LastTop top) {
    String at = SpokenTime.minute(top.atMs(), parts.settings.zone());
    ChargeEnd end = moment.chargeEnd();
    if (parts.estimator.isContradicted()) {
      return "the cells of the last charge, " + at + ", do not fit one curve, so no lead is known.";
    }
    if (end.kind() == ChargeTermination.FIRST_CELL && moment.wallMs(end.topUpMs()) >= top.atMs()) {
      return String.format(
          Locale.ROOT,
          "cell %d ended the last charge, %s, before it showed by how many Ah the cells are apart."
              + " Lower the charge current or voltage, and charge again.",
          end.topHighestCell(),
          at);
    }
    return "the last charge, "
        + at
        + ", did not show by how many Ah the cells are apart. A slower charge that is held at the top"
        + " may show it.";
  }

  private static String uncapitalized(String sentence) {
    return Character.toLowerCase(sentence.charAt(0)) + sentence.substring(1);
  }
}
