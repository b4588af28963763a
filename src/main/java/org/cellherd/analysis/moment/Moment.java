package org.cellherd.analysis.moment;

import java.util.Optional;
import java.util.function.Supplier;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.ReadingState;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * What the latest entry shows, worked out once for all folds of a pack: the plain numbers of the
 * reading, the step to the one before it, dead zone and class. Folds look and never touch. Belongs
 * to the thread of its {@code PackAnalysis}, which alone brings it up to date.
 *
 * <p>Times of folds are {@link #upMs}; use {@link #wallMs} when speaking.
 */
public final class Moment {
  /** What a missing voltage or current is here; never a value. */
  public static final int MISSING = Integer.MIN_VALUE;

  /** A power of two, and more than cells in series can be. */
  private static final long CELLS_PER_STEP = 128;

  private final int series;
  private final FoldClock clock = new FoldClock();
  private final SeriesPace pace = new SeriesPace();
  private final DeadZone deadZone;
  private final PhaseClassifier classifier;
  private final Flow flow;
  private final ChargeEnd chargeEnd;
  private final int[] cells;
  private final int[] cellsBefore;
  private final int[] order;
  private final long[] keys;

  private @Nullable Reading reading;
  private Optional<Reading> seen = Optional.empty();
  private boolean isFresh;
  private boolean isBroken = true;
  private int cellCount;
  private int present;
  private int median = MISSING;
  private long sum;
  private int currentMa = MISSING;
  private int currentBefore = MISSING;
  private long readingUpMs;
  private long stepMs = -1;
  private Step step = Step.NONE;
  private Phase phase = Phase.UNKNOWN;
  private Supplier<Optional<Interval>> soc = Optional::empty;

  /** How a reading follows the one before it. */
  public enum Step {
    /** First reading, or after a restart or a gap: nothing may be interpolated. */
    NONE,
    /** A usual step. */
    USUAL,
    /** Longer than usual, 60 s at most: interpolated, and counted as bridged. */
    BRIDGED,
    /** Too long to interpolate. */
    GAP
  }

  private static final long MOST_BRIDGED_MS = 60_000;

  public Moment(PackPlan plan, AnalysisSettings settings) {
    series = plan.series();
    deadZone = new DeadZone(settings.deadZoneMa(), plan.ratedMah());
    classifier = new PhaseClassifier(settings);
    flow = new Flow(plan, this);
    chargeEnd = new ChargeEnd(plan, settings, this);
    cells = new int[series];
    cellsBefore = new int[series];
    order = new int[series];
    keys = new long[series];
    for (int i = 0; i < series; i++) {
      cells[i] = MISSING;
      cellsBefore[i] = MISSING;
      order[i] = i;
    }
  }

  /** Takes the next entry; called once an entry, before any fold. */
  public void accept(LogEntry entry) {
    clock.accept(entry);
    isFresh = entry instanceof Reading;
    if (entry instanceof Reading r) {
      take(r);
    } else if (!(entry instanceof ClockStep)) {
      isBroken = true;
      deadZone.breakOff();
    }
    flow.accept(entry);
    chargeEnd.accept(entry);
  }

  private void take(Reading r) {
    classifyStep();
    reading = r;
    seen = Optional.of(r);
    System.arraycopy(cells, 0, cellsBefore, 0, series);
    currentBefore = currentMa;
    currentMa = r.currentMa().orElse(MISSING);
    takeCells(r.cells());
    if (currentMa != MISSING) {
      deadZone.accept(currentMa);
    }
    phase = classifier.classify(this);
  }

  private void classifyStep() {
    long now = clock.upMs();
    stepMs = reading == null ? -1 : now - readingUpMs;
    readingUpMs = now;
    if (isBroken) {
      step = reading == null ? Step.NONE : Step.GAP;
    } else {
      pace.accept(stepMs);
      boolean isGap = pace.isGap(stepMs);
      step = !isGap ? Step.USUAL : stepMs <= MOST_BRIDGED_MS ? Step.BRIDGED : Step.GAP;
    }
    isBroken = false;
  }

  private void takeCells(CellVoltages voltages) {
    cellCount = voltages.countWithoutPadding(series);
    voltages.copyTo(cells);
    present = 0;
    sum = 0;
    for (int cell : cells) {
      if (cell != MISSING) {
        present++;
        sum += cell;
      }
    }
    sort();
    int first = series - present;
    median =
        present == 0
            ? MISSING
            : present % 2 == 1
                ? cells[order[first + present / 2]]
                : Math.floorDiv(
                    cells[order[first + present / 2 - 1]] + cells[order[first + present / 2]], 2);
  }

  /** Insertion sort of an order that hardly changes; missing cells come first. */
  private void sort() {
    for (int i = 0; i < series; i++) {
      int cell = order[i];
      // Voltage and, among equals, number in one: half the work of comparing both.
      long key = (long) cells[cell] * CELLS_PER_STEP + cell;
      int j = i - 1;
      while (j >= 0 && keys[j] > key) {
        keys[j + 1] = keys[j];
        j--;
      }
      keys[j + 1] = key;
    }
    for (int i = 0; i < series; i++) {
      order[i] = (int) (keys[i] & (CELLS_PER_STEP - 1));
    }
  }

  /** The latest reading, kept through gaps. */
  public Optional<Reading> reading() {
    return seen;
  }

  /** True when the latest entry is a reading. */
  public boolean isFresh() {
    return isFresh;
  }

  /** Cells that the plan says are in series. */
  public int series() {
    return series;
  }

  /** Cells of the plan that have a voltage. */
  public int present() {
    return present;
  }

  /** True when every cell of the plan has a voltage and the board told of no more. */
  public boolean isComplete() {
    return present == series && cellCount == series;
  }

  /** Voltage of a cell from 1, 0.1 mV, or {@link #MISSING}. */
  public int cell(int number) {
    return cells[number - 1];
  }

  /** The same one reading before. */
  public int cellBefore(int number) {
    return cellsBefore[number - 1];
  }

  /** Number of the highest cell; 0 when there is none. */
  public int highestCell() {
    return present == 0 ? 0 : order[series - 1] + 1;
  }

  /** Number of the lowest cell; 0 when there is none. */
  public int lowestCell() {
    return present == 0 ? 0 : order[series - present] + 1;
  }

  /** Highest voltage, 0.1 mV, or {@link #MISSING}. */
  public int highest() {
    return present == 0 ? MISSING : cells[order[series - 1]];
  }

  /** Lowest voltage, 0.1 mV, or {@link #MISSING}. */
  public int lowest() {
    return present == 0 ? MISSING : cells[order[series - present]];
  }

  /** Median voltage, 0.1 mV, or {@link #MISSING}. */
  public int median() {
    return median;
  }

  /** Highest minus lowest, 0.1 mV; {@link #MISSING} below two cells. */
  public int spread() {
    return present < 2 ? MISSING : highest() - lowest();
  }

  /** Sum of the present cells of the plan, 0.1 mV. */
  public long sum() {
    return sum;
  }

  /** Current as printed, mA, positive charging, or {@link #MISSING}. */
  public int currentMa() {
    return currentMa;
  }

  /** The same one reading before. */
  public int currentBeforeMa() {
    return currentBefore;
  }

  /** Current beyond the dead zone, 0 within it, mA, or {@link #MISSING}. */
  public int flowingMa() {
    return currentMa == MISSING || Math.abs(currentMa) > deadZone.ma() ? currentMa : 0;
  }

  /** Currents of this size and below are not known, mA. */
  public int deadZoneMa() {
    return deadZone.ma();
  }

  /** True when the board tells that its charge switch is open: no charger holds the pack. */
  public boolean isChargeOpen() {
    return reading != null && reading.chargeSwitch().orElse(1) == 0;
  }

  /** What flowed over the step to the latest entry. */
  public Flow flow() {
    return flow;
  }

  /** When the pack was at its top. */
  public ChargeEnd chargeEnd() {
    return chargeEnd;
  }

  /** Whom to ask for the state of charge. */
  public void askForSoc(Supplier<Optional<Interval>> source) {
    soc = source;
  }

  /**
   * State of charge in percent, worked out by the fold that counts it; empty while nothing is
   * known.
   */
  public Optional<Interval> socPct() {
    return soc.get();
  }

  /** What kind of moment the latest reading shows. */
  public Phase phase() {
    return phase;
  }

  /** How the latest reading follows the one before. */
  public Step step() {
    return step;
  }

  /** Length of that step, ms; -1 at the first reading. */
  public long stepMs() {
    return stepMs;
  }

  /** True when charge may be counted over the step to the latest reading. */
  public boolean isJoined() {
    return step == Step.USUAL || step == Step.BRIDGED;
  }

  /** Fold time of the latest entry: never runs backward, not moved by clock steps, ms. */
  public long upMs() {
    return clock.upMs();
  }

  /** Fold time of the latest reading. */
  public long readingUpMs() {
    return readingUpMs;
  }

  /** Wall time of a fold time by the latest clock anchor, ms UTC. */
  public long wallMs(long atUpMs) {
    return clock.wallMs(atUpMs);
  }

  /** How long the current has been within the dead zone, ms; 0 while it flows. */
  public long quietMs() {
    return classifier.quietMs(upMs());
  }

  /** Slope of the mean cell voltage over the last minutes, mV a minute. */
  public double meanSlopeMvPerMin() {
    return classifier.meanSlopeMvPerMin();
  }

  public void state(State io) {
    io.section("moment", 3);
    clock.state(io);
    pace.state(io);
    deadZone.state(io);
    classifier.state(io);
    reading = ReadingState.of(reading, io);
    seen = Optional.ofNullable(reading);
    if (reading != null) {
      takeCells(reading.cells());
      currentMa = reading.currentMa().orElse(MISSING);
    }
    io.each(cellsBefore);
    isFresh = io.flag(isFresh);
    isBroken = io.flag(isBroken);
    currentBefore = io.number(currentBefore);
    readingUpMs = io.number(readingUpMs);
    stepMs = io.number(stepMs);
    step = io.constant(step);
    phase = io.constant(phase);
    flow.state(io);
    chargeEnd.state(io);
  }
}
