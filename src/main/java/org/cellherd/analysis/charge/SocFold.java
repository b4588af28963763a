package org.cellherd.analysis.charge;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.ChargeEnd;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.SocResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * State of charge of a pack as an interval, by counting from anchors. Resting voltages narrow it
 * outside the plateau only. Belongs to one thread.
 */
public final class SocFold implements FindingFold {
  private static final Fold.Kind KIND =
      new Fold.Kind(FindingName.SOC, 6, Set.of(FindingName.CAPACITY));
  private static final double HALVES_PER_AH = Flow.CHARGE_PER_MAH * 1000.0;
  private static final long EMPTY_HOLD_MS = 10_000;
  private static final long REST_EVERY_MS = 3_600_000;

  /** Accuracy of a voltage, V (from memory). */
  private static final double VOLTAGE_ERROR_V = 0.002;

  private static final double JUMP_TOLD_PCT = 5;
  private static final double JUMP_DOUBTED_PCT = 20;
  private static final double OVERRUN = 0.05;
  private static final double KNOWN_PCT = 95;

  private final PackPlan plan;
  private final AnalysisSettings settings;
  private final Moment moment;
  private final Flow flow;
  private final CellCurve curve;
  private final CurrentError current;
  private final SocCount count;
  private final FullToFull spans;
  private SocResult.Anchor anchor = SocResult.Anchor.NONE;
  private long anchorUpMs;
  private boolean wasTop;
  private long emptySinceMs = -1;
  private long restSeenMs = -1;
  private int greatestMa;
  private double jumpPct;
  private long jumpUpMs = -1;

  /** What {@link #pct} said at a time, until the count changes; -1 where it changed since. */
  private Optional<Interval> known = Optional.empty();

  private long knownUpMs = -1;

  public SocFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.settings = settings;
    this.moment = moment;
    flow = moment.flow();
    curve = CellCurve.of(plan.chemistry());
    current = new CurrentError(plan, settings, moment);
    count = new SocCount(plan.ratedAh());
    spans = new FullToFull(plan.ratedAh());
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    knownUpMs = -1;
    current.accept(entry);
    if (!(entry instanceof Reading)) {
      return;
    }
    if (flow.isCounted()) {
      step();
    } else if (moment.stepMs() > 0) {
      double unheardAh = greatestMa / 1000.0 * moment.stepMs() / 3_600_000.0;
      count.add(0, unheardAh);
      current.unheard(unheardAh);
      spans.breakOff();
    }
    anchors(moment.chargeEnd().isTop());
  }

  /**
   * All charge put in counts as stored: practically all came back at 0.2 to 0.8C (Batteries 2019,
   * 5(3), 57). What is lost all the same shows as drift between two full charges.
   */
  private void step() {
    double in = flow.amounts().charged() / HALVES_PER_AH;
    double out = flow.amounts().discharged() / HALVES_PER_AH;
    double hours = moment.stepMs() / 3_600_000.0;
    Interval offset = current.latestA();
    count.add(in - out - offset.mid() * hours, (offset.high() - offset.low()) / 2 * hours);
    count.sampled(flow.amounts());
    current.counted(flow.amounts());
    spans.add(flow.amounts());
    greatestMa = Math.max(greatestMa, Math.abs(moment.flowingMa()));
  }

  private void anchors(boolean isTop) {
    if (isTop) {
      full();
    } else if (isEmpty()) {
      set(SocResult.Anchor.EMPTY, empty());
    } else if (moment.phase() == Phase.REST) {
      rest();
    }
    wasTop = isTop;
  }

  private void full() {
    int least = plan.limits().fullMv() * 10;
    boolean isEven = moment.lowest() >= least || lowestBefore() >= least;
    SocResult.Anchor how =
        switch (moment.chargeEnd().kind()) {
          case TAIL -> isEven ? SocResult.Anchor.FULL : SocResult.Anchor.NEARLY_FULL;
          case FIRST_CELL -> SocResult.Anchor.FIRST_CELL;
          case ABSORB_TIMER -> SocResult.Anchor.ABSORBED;
          case UNKNOWN, NONE -> SocResult.Anchor.FIRST_SIGHT;
        };
    if (!wasTop) {
      spans.top(moment.chargeEnd().kind() == ChargeTermination.TAIL);
      current.full(moment.chargeEnd().kind());
    }
    set(how, how.pct());
  }

  /** From the level that counts as empty to the cut-off a cell still gives a few percent. */
  private Interval empty() {
    double left =
        curve.soc(plan.limits().warnLowMv() / 1000.0)
            - curve.soc(plan.limits().cutOffLowMv() / 1000.0);
    return new Interval(0, 0, Math.max(SocResult.Anchor.EMPTY.pct().high(), 100 * left));
  }

  /** The charge may have ended between this reading and the one before. */
  private int lowestBefore() {
    int lowest = Integer.MAX_VALUE;
    for (int cell = 1; cell <= moment.series(); cell++) {
      lowest = Math.min(lowest, moment.cellBefore(cell));
    }
    return lowest;
  }

  private boolean isEmpty() {
    boolean isLow =
        moment.present() > 0
            && moment.lowest() <= plan.limits().warnLowMv() * 10
            && moment.lowest() > 0
            && moment.flowingMa() != Moment.MISSING
            && moment.flowingMa() <= 0
            && -moment.flowingMa() <= 0.2 * plan.ratedMah();
    if (!isLow) {
      emptySinceMs = -1;
      return false;
    }
    emptySinceMs = emptySinceMs < 0 ? moment.upMs() : emptySinceMs;
    return moment.upMs() - emptySinceMs >= EMPTY_HOLD_MS;
  }

  /** Once an hour of rest: a voltage outside the plateau narrows what the count says. */
  private void rest() {
    if (restSeenMs >= 0 && moment.upMs() - restSeenMs < REST_EVERY_MS) {
      return;
    }
    restSeenMs = moment.upMs();
    Interval now = count.pct();
    Interval seen = byVoltage();
    double low = Math.max(now.low(), seen.low());
    double high = Math.min(now.high(), seen.high());
    if (low > high) {
      set(SocResult.Anchor.REST, seen);
    } else if (high - low < 0.8 * (now.high() - now.low())) {
      double mid = Math.max(low, Math.min(high, now.mid()));
      set(
          SocResult.Anchor.REST,
          new Interval(low, anchor == SocResult.Anchor.NONE ? (low + high) / 2 : mid, high));
    }
  }

  private Interval byVoltage() {
    double mv = moment.median() / 10.0;
    if (mv >= settings.blindFromMv() && mv <= settings.blindToMv()) {
      return new Interval(5, 50, 97);
    }
    return curve.pct(mv / 1000, VOLTAGE_ERROR_V + curve.hysteresisV() / 2);
  }

  private void set(SocResult.Anchor how, Interval pct) {
    double jump = jump(pct);
    boolean isNew = !wasTop && moment.upMs() - anchorUpMs > 60_000;
    boolean isCapacity = jump != 0 && anchor.isEnd() && how.isEnd() && count.spanned(pct);
    if (anchor != SocResult.Anchor.NONE && isNew && !isCapacity && Math.abs(jump) > JUMP_TOLD_PCT) {
      jumpPct = jump;
      jumpUpMs = moment.upMs();
    } else if (isNew) {
      jumpUpMs = -1;
    }
    anchor = how;
    anchorUpMs = moment.upMs();
    count.anchor(pct);
  }

  /** How far the anchor lies beyond what the count held possible, percent; 0 within. */
  private double jump(Interval pct) {
    Interval counted = count.pct();
    double up = pct.low() - counted.high();
    double down = counted.low() - pct.high();
    return up > 0 ? up : down > 0 ? -down : 0;
  }

  /** Percent; empty while next to nothing is known. */
  public Optional<Interval> pct() {
    if (knownUpMs != moment.upMs()) {
      known = counted();
      knownUpMs = moment.upMs();
    }
    return known;
  }

  private Optional<Interval> counted() {
    if (moment.reading().isEmpty()) {
      return Optional.empty();
    }
    Interval pct = count.pct();
    return pct.high() - pct.low() >= KNOWN_PCT ? Optional.empty() : Optional.of(widened(pct));
  }

  /** During a gap that goes on, what may flow meanwhile widens the interval. */
  private Interval widened(Interval pct) {
    double hours = (moment.upMs() - moment.readingUpMs()) / 3_600_000.0;
    double more = 100.0 * greatestMa / 1000.0 * hours / count.capacityAh();
    return new Interval(Math.max(0, pct.low() - more), pct.mid(), Math.min(100, pct.high() + more));
  }

  /** Time since the pack was last at its top, ms; empty before the first. */
  public OptionalLong sinceFullMs() {
    ChargeEnd top = moment.chargeEnd();
    return top.kind() == ChargeTermination.NONE
        ? OptionalLong.empty()
        : OptionalLong.of(Math.max(0, moment.upMs() - top.topUpMs()));
  }

  /** Doubts about the counted charge. */
  public List<Suspicion> suspicions() {
    if (jumpUpMs >= 0 && Math.abs(jumpPct) > JUMP_DOUBTED_PCT) {
      return List.of(
          new Suspicion(
              Suspicion.Kind.CHARGE_COUNT,
              List.of(),
              moment.wallMs(jumpUpMs),
              "the charge counted does not fit: wrong capacity in the plan, an offset of the"
                  + " current sensor, or a load that it does not see",
              "the rated capacity in the plan, then the current with everything switched off",
              Facts.of().put("corrected_by_pct", jumpPct, 1).build()));
    }
    if (Math.abs(count.overrunAh()) > OVERRUN * count.capacityAh()) {
      return List.of(
          new Suspicion(
              Suspicion.Kind.CURRENT_OFFSET,
              List.of(),
              moment.wallMs(anchorUpMs),
              "more charge was counted "
                  + (count.overrunAh() > 0 ? "in" : "out")
                  + " than the pack can hold: the current sensor prints a current that is not"
                  + " there, or a load or charger goes round it",
              "the current with everything switched off",
              Facts.of().put("overrun_ah", count.overrunAh(), 1).build()));
    }
    return List.of();
  }

  @Override
  public void hear(Finding finding) {
    finding
        .result(CapacityResult.class)
        .flatMap(CapacityResult::ah)
        .ifPresent(ah -> useCapacity(ah.mid()));
  }

  private void useCapacity(double ah) {
    if (ah > 0.2 * plan.ratedAh() && ah < 1.5 * plan.ratedAh()) {
      count.measured(ah);
      knownUpMs = -1;
    }
  }

  @Override
  public Optional<Finding> standing() {
    Optional<Interval> counted = pct();
    if (counted.isEmpty()) {
      return Optional.empty();
    }
    Interval pct = counted.get();
    SocResult result =
        new SocResult(
            pct,
            anchor,
            moment.wallMs(anchorUpMs),
            count.netAh(),
            count.capacityAh(),
            !isBlind(),
            moment.deadZoneMa(),
            spans.coulombic(),
            spans.energetic(),
            spans.netMa(),
            jumpUpMs < 0 ? Double.NaN : jumpPct);
    return Optional.of(
        new Finding(
            result.anchorAtMs(),
            moment.wallMs(moment.upMs()),
            result,
            SocSentence.of(pct, anchor, isBlind(), spans.isSensorDoubtful())));
  }

  private boolean isBlind() {
    int mv = moment.median() / 10;
    return mv >= settings.blindFromMv() && mv <= settings.blindToMv();
  }

  @Override
  public void state(State io) {
    knownUpMs = -1;
    current.state(io);
    count.state(io);
    spans.state(io);
    anchor = io.constant(anchor);
    anchorUpMs = io.number(anchorUpMs);
    wasTop = io.flag(wasTop);
    emptySinceMs = io.number(emptySinceMs);
    restSeenMs = io.number(restSeenMs);
    greatestMa = io.number(greatestMa);
    jumpPct = io.number(jumpPct);
    jumpUpMs = io.number(jumpUpMs);
  }
}
