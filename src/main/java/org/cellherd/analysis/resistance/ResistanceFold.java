package org.cellherd.analysis.resistance;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
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
  private static final Fold.Kind KIND = Fold.Kind.of(FindingName.RESISTANCE, 17);
  private static final List<Long> PULSES_MS =
      List.of(1_000L, 2_000L, 5_000L, 10_000L, 30_000L, 60_000L, 120_000L);
  private static final double[] PULSES_S =
      PULSES_MS.stream().mapToDouble(ms -> ms / 1000.0).toArray();
  private static final long EACH_MS = 24 * 3_600_000L;
  private static final int NEW_STEPS = 10;

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
  private int beganTenthC = CellTemperatures.MISSING;
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
    steps = new LoadSteps(plan, moment, leastMa(plan), PULSES_MS, this::take);
  }

  /** A twentieth of the capacity's current; 5 A for packs that have it (common practice). */
  private static int leastMa(PackPlan plan) {
    long rated = plan.ratedMah();
    return (int) Math.min(Integer.MAX_VALUE, Math.max(rated / 20, Math.min(5_000, rated / 5)));
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    if (entry instanceof Reading reading) {
      tenthC = temperatures.mean(reading.temperatures());
      learnDigit();
      long beganUpMs = steps.beginUpMs();
      steps.accept(reading);
      beganTenthC = steps.beginUpMs() == beganUpMs ? beganTenthC : tenthC;
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
    StepCells step =
        new StepCells(plan, steps, pulse, before, after, stepMa, digit / 10.0, moment.deadZoneMa());
    if (stepMa == 0 || !step.isWhole()) {
      return;
    }
    if (steps.beginUpMs() != boundedUpMs) {
      boundedUpMs = steps.beginUpMs();
      bound(pulse, step, stepMa);
    }
    int[] row = new int[StepRing.width(plan.series())];
    int told = 0;
    for (int cell = 1; cell <= plan.series(); cell++) {
      row[cell - 1] = step.tenthMicroOhm(cell);
      boolean isTold = row[cell - 1] != Moment.MISSING;
      row[plan.series() + cell - 1] = isTold ? step.error(cell) : Moment.MISSING;
      told += isTold ? 1 : 0;
    }
    if (told > 0) {
      row[2 * plan.series()] = step.path();
      row[2 * plan.series() + 1] = beganTenthC;
      row[2 * plan.series() + 2] = Math.abs(stepMa);
      row[2 * plan.series() + 3] = (int) Math.rint(1000 * step.noiseMv());
      row[2 * plan.series() + 4] = step.usual();
      note(pulse, row);
    }
  }

  /** The shortest pulse of a step bounds best: what else moves a cell grows with time. */
  private void bound(int pulse, StepCells step, int stepMa) {
    Excesses.Bounds bounds =
        new Excesses.Bounds(plan.series()).of(steps.beginUpMs(), pulse, beganTenthC, stepMa > 0);
    double errorMv = step.noiseMv();
    for (int cell = 1; cell <= plan.series(); cell++) {
      Interval ohmic = step.ohmicMv(cell);
      bounds.cell(
          cell,
          step.tenthMicroOhm(ohmic.low() - errorMv),
          step.tenthMicroOhm(ohmic.high() + errorMv));
    }
    excesses.add(bounds);
    allSteps++;
  }

  private void note(int pulse, int[] row) {
    int bin =
        beganTenthC == CellTemperatures.MISSING
            ? TemperatureBins.UNKNOWN
            : TemperatureBins.bin(beganTenthC);
    bins.add(bin, pulse, row, steps.beginUpMs());
    lastUpMs = moment.readingUpMs();
    if (firstUpMs < 0) {
      firstUpMs = steps.beginUpMs();
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
    return ResistanceTable.of(new ResistanceTable.Steps(PULSES_S, of, above))
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
    beganTenthC = io.number(beganTenthC);
    firstUpMs = io.number(firstUpMs);
    lastUpMs = io.number(lastUpMs);
    givenUpMs = io.number(givenUpMs);
    newSteps = io.number(newSteps);
    allSteps = io.number(allSteps);
    digit = io.number(digit);
  }
}
