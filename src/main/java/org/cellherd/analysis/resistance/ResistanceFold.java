package org.cellherd.analysis.resistance;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.FoldKind;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;

/**
 * Resistance of cells and links from load steps, robustly over many, apart by temperature and pulse
 * length. A finding is completed at most once a day, when there were new steps.
 */
public final class ResistanceFold implements FindingFold {
  private static final FoldKind KIND = FoldKind.of(FindingName.RESISTANCE, 8);
  private static final List<Long> PULSES_MS = List.of(1_000L, 2_000L, 10_000L, 30_000L, 120_000L);
  private static final double[] PULSES_S =
      PULSES_MS.stream().mapToDouble(ms -> ms / 1000.0).toArray();
  private static final long EACH_MS = 24 * 3_600_000L;
  private static final int NEW_STEPS = 10;

  /** The surface of a particle, which tells the voltage, runs ahead of its bulk. */
  private static final double SURFACE = 2;

  /** No board tells cells more coarsely, 0.1 mV (common practice, no source). */
  private static final int COARSEST = 50;

  private final PackPlan plan;
  private final Moment moment;
  private final CellTemperatures temperatures;
  private final LoadSteps steps;
  private final TemperatureBins bins;
  private final Excesses excesses;
  private final Completed completed = new Completed();
  private int tenthC = CellTemperatures.MISSING;
  private int digit = COARSEST;
  private long firstUpMs = -1;
  private long lastUpMs;
  private long givenUpMs;
  private long boundedUpMs = -1;
  private int newSteps;
  private long allSteps;
  private Optional<Finding> shown = Optional.empty();
  private long shownSteps;
  private long shownWallMs;

  /** A fold that has seen nothing. */
  public ResistanceFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.moment = moment;
    temperatures = new CellTemperatures(plan);
    bins = new TemperatureBins(plan.series(), PULSES_MS.size());
    excesses = new Excesses(plan.series());
    steps = new LoadSteps(plan.series(), moment, leastMa(plan), PULSES_MS, this::take);
  }

  /** A twentieth of the capacity's current; 5 A for packs that have it (common practice). */
  private static int leastMa(PackPlan plan) {
    long rated = plan.ratedMah();
    return (int) Math.min(Integer.MAX_VALUE, Math.max(rated / 20, Math.min(5_000, rated / 5)));
  }

  @Override
  public FoldKind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    if (entry instanceof Reading reading) {
      tenthC = temperatures.mean(reading.temperatures());
      learnDigit();
      steps.accept(reading);
      completeDaily();
    } else if (entry instanceof SessionStart) {
      steps.breakOff();
    }
  }

  private void learnDigit() {
    for (int cell = 1; cell <= plan.series(); cell++) {
      int before = moment.cellBefore(cell);
      int now = moment.cell(cell);
      if (before != Moment.MISSING && now != Moment.MISSING && now != before) {
        digit = Math.min(digit, Math.abs(now - before));
      }
    }
  }

  private void take(int pulse, Frames before, Frames after, int stepMa) {
    if (steps.beginUpMs() != boundedUpMs) {
      boundedUpMs = steps.beginUpMs();
      bound(pulse, before, after, stepMa);
    }
    int[] row = new int[plan.series() + StepRing.BESIDE];
    double bias = 0;
    long sumStep = 0;
    for (int i = 0; i < plan.series(); i++) {
      int from = before.median(i);
      int to = after.median(i);
      if (from == Moment.MISSING || to == Moment.MISSING) {
        return;
      }
      sumStep += to - from;
      row[i] = tenthMicroOhm(to - from, stepMa);
      double elseMv = Math.max(byCurveMv(pulse, steepest(from, to), stepMa), byPastMv(pulse));
      bias = Math.max(bias, 10 * elseMv / Math.abs(to - from));
    }
    bias = Math.hypot(bias, steps.timeError(pulse));
    if (!(bias <= ResistanceTable.MOST_ERROR)) {
      return;
    }
    row[plan.series()] = path(before, after, sumStep, stepMa);
    row[plan.series() + 1] = tenthC;
    row[plan.series() + 2] = Math.abs(stepMa);
    row[plan.series() + 3] = (int) Math.rint(1000 * bias);
    note(pulse, row);
  }

  /** The shortest pulse of a step bounds best: what else moves a cell grows with time. */
  private void bound(int pulse, Frames before, Frames after, int stepMa) {
    Excesses.Bounds bounds =
        new Excesses.Bounds(plan.series()).of(moment.readingUpMs(), pulse, tenthC, stepMa > 0);
    double errorMv = ResistanceTable.errorMv(digit / 10.0);
    for (int i = 0; i < plan.series(); i++) {
      int from = before.median(i);
      int to = after.median(i);
      if (from == Moment.MISSING || to == Moment.MISSING) {
        return;
      }
      double seenMv = (to - from) * Math.signum(stepMa) / 10.0;
      double byCurveMv = SURFACE * byCurveMv(pulse, atRest(from, to, stepMa), stepMa);
      double eitherWayMv = errorMv + byPastMv(pulse);
      int least = tenthMicroOhm(10 * (seenMv - byCurveMv - eitherWayMv), Math.abs(stepMa));
      bounds.cell(i + 1, least, tenthMicroOhm(10 * (seenMv + eitherWayMv), Math.abs(stepMa)));
    }
    excesses.add(bounds);
    allSteps++;
  }

  /**
   * By how much the charge of the pulse may have moved a cell along its curve. A load taken off
   * leaves the surface of the cell behind: it comes back by as much as the load would have moved
   * it.
   */
  private double byCurveMv(int pulse, double mvPerPct, int stepMa) {
    double after = steps.currentAfterMa();
    double amperes = Math.max(Math.abs(after), Math.abs(after - stepMa)) / 1000;
    return 100 * amperes * hours(pulse) / plan.ratedAh() * mvPerPct;
  }

  /** What came before goes on. */
  private double byPastMv(int pulse) {
    return Math.abs(steps.slopeBefore()) * hours(pulse) * 60;
  }

  private static double hours(int pulse) {
    return PULSES_MS.get(pulse) / 3.6e6;
  }

  /** The volts under the current are the resistance's, not the curve's. */
  private double atRest(int from, int to, int stepMa) {
    int after = Math.abs(steps.currentAfterMa());
    int before = Math.abs(steps.currentAfterMa() - stepMa);
    boolean isFromOrToRest = 10 * Math.min(after, before) < Math.abs(stepMa);
    return isFromOrToRest ? steepest((after < before ? to : from) / 10.0) : steepest(from, to);
  }

  private double steepest(int from, int to) {
    return Math.max(steepest(from / 10.0), steepest(to / 10.0));
  }

  private double steepest(double mv) {
    CellCurve curve = CellCurve.of(plan.chemistry());
    return curve.slope(mv).map(Interval::high).orElseGet(() -> curve.steepest(mv));
  }

  private int path(Frames before, Frames after, long sumStep, int stepMa) {
    int from = before.median(plan.series());
    int to = after.median(plan.series());
    if (from == Moment.MISSING || to == Moment.MISSING) {
      return Moment.MISSING;
    }
    return tenthMicroOhm((double) (to - from - sumStep), stepMa);
  }

  /** 0.1 mV a mA is 0.1 ohm: a million tenths of a micro-ohm. */
  private static int tenthMicroOhm(double tenthMv, int milliamps) {
    double value = 1e6 * tenthMv / milliamps;
    return (int) Math.max(-1e9, Math.min(1e9, Math.rint(value)));
  }

  private void note(int pulse, int[] row) {
    int bin =
        tenthC == CellTemperatures.MISSING ? TemperatureBins.UNKNOWN : TemperatureBins.bin(tenthC);
    bins.add(bin, pulse, row, moment.readingUpMs());
    lastUpMs = moment.readingUpMs();
    if (firstUpMs < 0) {
      firstUpMs = lastUpMs;
      givenUpMs = lastUpMs;
    }
    newSteps++;
    allSteps++;
  }

  private void completeDaily() {
    if (newSteps >= NEW_STEPS && moment.readingUpMs() - givenUpMs >= EACH_MS) {
      complete();
    }
  }

  private void complete() {
    standing().ifPresent(completed::add);
    newSteps = 0;
    givenUpMs = moment.readingUpMs();
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  @Override
  public Optional<Finding> standing() {
    if (allSteps != shownSteps || moment.wallMs(lastUpMs) != shownWallMs) {
      shown = told(bins, excesses, firstUpMs);
      shownSteps = allSteps;
      shownWallMs = moment.wallMs(lastUpMs);
    }
    return shown;
  }

  @Override
  public Optional<Finding> standingSince(long fromMs) {
    TemperatureBins later = bins.since(fromMs - moment.wallMs(0));
    return told(
        later, excesses.since(fromMs - moment.wallMs(0)), later.oldestUpMs().orElse(lastUpMs));
  }

  private Optional<Finding> told(TemperatureBins of, Excesses above, long fromUpMs) {
    return ResistanceTable.of(new ResistanceTable.Steps(PULSES_S, of, above, digit / 10.0))
        .map(
            table ->
                new Finding(
                    moment.wallMs(fromUpMs),
                    moment.wallMs(lastUpMs),
                    table.result(),
                    ResistanceSentence.of(table, plan)))
        .or(() -> new ExcessReport(above, PULSES_S).finding(moment));
  }

  @Override
  public void end() {
    if (newSteps > 0) {
      complete();
    }
  }

  @Override
  public void state(State io) {
    steps.state(io);
    bins.state(io);
    excesses.state(io);
    boundedUpMs = io.number(boundedUpMs);
    tenthC = io.number(tenthC);
    firstUpMs = io.number(firstUpMs);
    lastUpMs = io.number(lastUpMs);
    givenUpMs = io.number(givenUpMs);
    newSteps = io.number(newSteps);
    allSteps = io.number(allSteps);
    digit = io.number(digit);
  }
}
