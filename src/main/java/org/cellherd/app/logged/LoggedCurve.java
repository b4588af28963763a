package org.cellherd.app.logged;

import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.SensorErrors;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * The curve of a discharge from the entries of its time. Charge and energy are counted as the
 * capacity test counts them. One use, one thread.
 */
final class LoggedCurve {

  private static final double TENTH_MV_PER_V = 10_000;
  private static final double MA_PER_A = 1_000;

  private final PackPlan plan;
  private final SensorErrors sensors;
  private final int limitingCell;
  private final Moment moment;
  private final Tally tally = new Tally();
  private final DischargeCurve.Builder curve;

  /**
   * Nothing yet.
   *
   * @param limitingCell the cell that ended the discharge, from 1; 0 when not known
   */
  public LoggedCurve(PackPlan plan, AnalysisSettings settings, int limitingCell) {
    this.plan = plan;
    sensors = settings.sensors();
    this.limitingCell = limitingCell <= plan.series() ? limitingCell : 0;
    moment = new Moment(plan, settings);
    curve = new DischargeCurve.Builder(plan.ratedAh(), plan.series());
  }

  public void accept(LogEntry raw) {
    LogEntry entry = raw instanceof Reading r ? sensors.corrected(r) : raw;
    moment.accept(entry);
    if (moment.flow().isCounted()) {
      tally.add(moment.flow().amounts());
    }
    if (entry instanceof Reading && moment.isComplete() && isLoaded()) {
      curve.add(point());
    }
  }

  private boolean isLoaded() {
    return moment.currentMa() != Moment.MISSING && moment.flowingMa() < 0;
  }

  private DischargeCurve.Point point() {
    double cell = limitingCell == 0 ? Double.NaN : moment.cell(limitingCell) / TENTH_MV_PER_V;
    return new DischargeCurve.Point(
        -tally.netAh(),
        tally.dischargedWh() - tally.chargedWh(),
        moment.sum() / TENTH_MV_PER_V,
        cell,
        -moment.flow().currentMa() / MA_PER_A);
  }

  /** The curve; empty when no load was seen. */
  public Optional<DischargeCurve> curve() {
    return curve.isEmpty()
        ? Optional.empty()
        : Optional.of(curve.build(plan.series(), limitingCell));
  }
}
