package org.cellherd.analysis.capacity;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.CapacityResult.EndReason;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Finds discharges from full to empty in the log: nobody has to start a test. Pauses are allowed;
 * more than 1 % put back ends it. A discharge that nearly was a test is reported as refused, with
 * the reason.
 */
public final class CapacityFold implements FindingFold {
  private static final Fold.Kind KIND =
      new Fold.Kind(FindingName.CAPACITY, 12, Set.of(FindingName.BALANCE));
  private static final long STOPPED_MS = 60_000;
  private static final long FORGOTTEN_MS = 24 * 3_600_000L;
  private static final int SUDDEN_MV = 50;
  private static final int NONE = Integer.MIN_VALUE;

  /** A discharge of less than this share of the rated capacity is no attempt at a test. */
  private static final double ATTEMPT_SHARE = 0.8;

  private final PackPlan plan;
  private final Moment moment;
  private final int tripMv;
  private final Flow flow;
  private final CurrentError current;
  private final CellTemperatures temperatures;
  private final Discharge discharge;
  private final CapacityReport report;
  private final Completed completed = new Completed();
  private Optional<Finding> latest = Optional.empty();
  private boolean isOpen;
  private boolean wasTop;
  private boolean hasTripped;
  private int restLowest = NONE;

  public CapacityFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.moment = moment;
    tripMv = plan.board().map(b -> b.tripLowMv().orElse(0)).orElse(0);
    flow = moment.flow();
    current = new CurrentError(plan, settings, moment);
    temperatures = new CellTemperatures(plan);
    discharge = new Discharge(new LowCrossings(plan, settings));
    report = new CapacityReport(plan, moment);
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    current.accept(entry);
    learn();
    if (entry instanceof Reading && moment.currentMa() > 0 && !current.isStill()) {
      discharge.charging(moment);
    }
    boolean isTop = moment.chargeEnd().isTop();
    if (isTop && !wasTop) {
      current.full(moment.chargeEnd().kind());
    }
    wasTop = entry instanceof Reading ? isTop : wasTop;
    if (isTop) {
      discharge.begin(moment);
      isOpen = true;
      hasTripped = false;
      restLowest = NONE;
    } else if (isOpen && entry instanceof Reading reading) {
      take(reading);
    }
  }

  /** Offset of the current, from one full charge to the next. */
  private void learn() {
    if (flow.isCounted() || flow.isAcrossGap()) {
      current.counted(flow.amounts());
    }
    if (flow.isAcrossGap()) {
      current.unheard(flow.gapDoubtAh());
    }
  }

  private void take(Reading reading) {
    if (flow.isCounted()) {
      int tenthC = temperatures.mean(reading.temperatures());
      discharge.add(flow.amounts(), moment, tenthC, current.isStill());
    } else if (flow.isAcrossGap()) {
      discharge.addUnheard(flow.amounts(), moment, flow.gapDoubtAh());
    }
    if (moment.currentMa() == Moment.MISSING || !moment.isComplete()) {
      return;
    }
    if (moment.currentMa() < 0 && !current.isStill()) {
      drawing();
    } else if (discharge.hasBegun()) {
      discharge.pause(flow.isCounted());
      pausing(reading);
    }
  }

  private void drawing() {
    discharge.note(moment);
    restLowest = NONE;
    if (Measurement.isBroken(discharge, plan)) {
      give(EndReason.STOPPED_EARLY);
    } else if (isAtCutOff()) {
      give(EndReason.CUT_OFF);
    }
  }

  /** One low reading under a surge of load is not empty: the cell must have been near before. */
  private boolean isAtCutOff() {
    int before = moment.cellBefore(moment.lowestCell());
    int cutOff = plan.limits().cutOffLowMv();
    return moment.lowest() <= cutOff * 10
        && before != Moment.MISSING
        && before <= (cutOff + SUDDEN_MV) * 10;
  }

  private void pausing(Reading reading) {
    long pause = moment.readingUpMs() - discharge.lastUpMs();
    hasTripped |= reading.dischargeSwitch().orElse(1) == 0;
    if (moment.phase() == Phase.REST) {
      restLowest = moment.lowest();
    }
    boolean isOver = Measurement.isBroken(discharge, plan) || pause >= FORGOTTEN_MS;
    if (isLow() && (isOver || pause >= STOPPED_MS)) {
      give(lowEnd());
    } else if (isOver) {
      give(EndReason.STOPPED_EARLY);
    }
  }

  private boolean isLow() {
    return discharge.endMv() <= Math.max(plan.limits().warnLowMv(), tripMv + SUDDEN_MV);
  }

  private EndReason lowEnd() {
    if (discharge.endMv() <= plan.limits().cutOffLowMv()) {
      return EndReason.CUT_OFF;
    }
    return hasTripped || discharge.endMv() <= tripMv + SUDDEN_MV
        ? EndReason.BOARD_LIMIT
        : EndReason.STOPPED_LOW;
  }

  private void give(EndReason reason) {
    isOpen = false;
    boolean isPartial = reason == EndReason.STOPPED_EARLY;
    Measurement drawn = Measurement.whole(discharge, plan, moment.deadZoneMa(), current);
    Measurement measured =
        isPartial ? Measurement.partial(drawn, discharge, plan, restMv()) : drawn;
    boolean isAttempt = discharge.ah() >= ATTEMPT_SHARE * plan.ratedAh();
    if (measured.ah().isPresent() || !isPartial || isAttempt) {
      Finding finding = report.of(discharge, measured, reason, current);
      latest = Optional.of(finding);
      completed.add(finding);
    }
  }

  private double restMv() {
    return restLowest == NONE ? Double.MAX_VALUE : restLowest / 10.0;
  }

  @Override
  public void hear(Finding finding) {
    finding.result(FullChargeResult.class).ifPresent(report::fullCharge);
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  @Override
  public Optional<Finding> standing() {
    return latest;
  }

  @Override
  public void state(State io) {
    current.state(io);
    discharge.state(io);
    report.state(io);
    latest = io.optional(latest, ResultForm.NONE, ResultForm::state);
    isOpen = io.flag(isOpen);
    wasTop = io.flag(wasTop);
    hasTripped = io.flag(hasTripped);
    restLowest = io.number(restLowest);
  }
}
