package org.cellherd.analysis.resistance;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.AtTemperature;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResistanceResult.Sign;
import org.cellherd.analysis.result.Suspect;
import org.cellherd.analysis.trend.Medians;

/** What the steps so far say. */
final class ResistanceTable {
  /** The pulse that the trade reads, s. */
  private static final double WANTED_S = 10;

  /** A resistance known no better, the gain of the current apart, is not told. */
  static final double MOST_ERROR = 0.08;

  /** Sensors of whole degrees are common: the temperature named may be off by so much, K. */
  private static final double COARSE_K = 0.5;

  /** Fewer steps than this name no suspect. */
  static final int LEAST_STEPS = 10;

  private static final int SIGN_STEPS = 5;
  private static final int FAR_BINS = 2;

  /** Noise of a cell's voltage as boards tell it (common practice, no source). */
  private static final double NOISE_MV = 1;

  private final int series;
  private final double[] pulseS;
  private final TemperatureBins bins;
  private final int pulse;
  private final int bin;
  private final double digitMv;
  private final StepRing ring;
  private final double median;
  private final Excesses excesses;

  /**
   * What a table is made of.
   *
   * @param pulseS length of each pulse, s
   * @param bins the steps that measure all cells well
   * @param excesses what every step leaves open
   * @param digitMv last digit of a cell's voltage, mV
   */
  @SuppressWarnings("ArrayRecordComponent")
  record Steps(double[] pulseS, TemperatureBins bins, Excesses excesses, double digitMv) {}

  private ResistanceTable(Steps of, int pulse, int bin) {
    series = of.excesses.series();
    pulseS = of.pulseS.clone();
    bins = of.bins;
    excesses = of.excesses;
    digitMv = of.digitMv;
    this.pulse = pulse;
    this.bin = bin;
    ring = bins.ring(bin, pulse);
    median = medianOf(ring);
  }

  /**
   * The table of the pulse of 10 s if it has enough steps, else of that which has most, at the
   * temperature with most; only of what is known well enough, so empty where nothing is.
   */
  static Optional<ResistanceTable> of(Steps steps) {
    List<ResistanceTable> known = new ArrayList<>();
    for (int bin : steps.bins.all()) {
      for (int pulse = 0; pulse < steps.pulseS.length; pulse++) {
        if (steps.bins.ring(bin, pulse).count() > 0) {
          known.add(new ResistanceTable(steps, pulse, bin));
        }
      }
    }
    known.removeIf(table -> !(Math.hypot(table.noiseShare(), table.ring.bias()) <= MOST_ERROR));
    Comparator<ResistanceTable> bySteps = Comparator.comparingLong(table -> table.ring.total());
    Optional<ResistanceTable> most = known.stream().max(bySteps);
    return known.stream()
        .filter(table -> table.pulseSeconds() == WANTED_S)
        .max(bySteps)
        .filter(table -> 3 * table.ring.total() >= Math.min(most(most), 3 * SIGN_STEPS))
        .or(() -> most);
  }

  private static long most(Optional<ResistanceTable> table) {
    return table.map(of -> of.ring.total()).orElse(0L);
  }

  private double medianOf(StepRing of) {
    double[] cells = new double[series];
    for (int i = 0; i < series; i++) {
      cells[i] = of.median(i);
    }
    return Medians.median(cells);
  }

  double mohm(int cell) {
    return ring.median(cell - 1);
  }

  double medianMohm() {
    return median;
  }

  double pulseSeconds() {
    return pulseS[pulse];
  }

  int steps() {
    return ring.count();
  }

  /**
   * How far the median cell's resistance may be off by the last digit and the noise of its
   * voltages, at 95 %, as a share of it.
   */
  double noiseShare() {
    double mohm = errorMv(digitMv) / ring.amperes() / Math.sqrt(ring.count());
    return Math.abs(mohm / median);
  }

  /** That of one step's change of voltage, mV. Each voltage is the median of about three. */
  static double errorMv(double digitMv) {
    return 2 * Math.sqrt(2) * Math.hypot(digitMv / Math.sqrt(12), NOISE_MV / Math.sqrt(3));
  }

  /** Median temperature of the steps, degC; NaN when it is not known. */
  double celsius() {
    return ring.celsius();
  }

  /** Why a cell stands out, or that it does not. */
  Optional<Suspect> suspect(int cell) {
    boolean isHigh =
        series > 2
            && ring.count() >= LEAST_STEPS
            && median > 0
            && ring.median(cell - 1) > Excesses.RATIO * median;
    if (!isHigh && !excesses.isSure(cell)) {
      return Optional.empty();
    }
    for (int other : bins.all()) {
      boolean isFar = other != TemperatureBins.UNKNOWN && Math.abs(other - bin) >= FAR_BINS;
      if (isFar && bin != TemperatureBins.UNKNOWN) {
        Suspect verdict = against(cell, bins.ring(other, pulse));
        if (verdict != Suspect.STRAP_OR_CELL) {
          return Optional.of(verdict);
        }
      }
    }
    return Optional.of(byPulse(cell));
  }

  private Suspect byPulse(int cell) {
    for (int other = 0; other < pulseS.length; other++) {
      if (other != pulse) {
        Suspect verdict = against(cell, bins.ring(bin, other));
        if (verdict != Suspect.STRAP_OR_CELL) {
          return verdict;
        }
      }
    }
    return Suspect.STRAP_OR_CELL;
  }

  private Suspect against(int cell, StepRing other) {
    if (other.count() < LEAST_STEPS / 2) {
      return Suspect.STRAP_OR_CELL;
    }
    double otherMedian = medianOf(other);
    return ExcessJudge.judge(
        ring.median(cell - 1) - median, median, other.median(cell - 1) - otherMedian, otherMedian);
  }

  /** What the signs of the cells' resistances say of the current's. */
  Sign sign() {
    if (ring.count() < SIGN_STEPS) {
      return Sign.UNCONFIRMED;
    }
    int positive = 0;
    int negative = 0;
    for (int i = 0; i < series; i++) {
      positive += ring.median(i) > 0 ? 1 : 0;
      negative += ring.median(i) < 0 ? 1 : 0;
    }
    return positive == series ? Sign.CONFIRMED : negative == series ? Sign.WRONG : Sign.UNCONFIRMED;
  }

  /** Cells that stand out, in order. */
  List<Integer> suspects() {
    List<Integer> cells = new ArrayList<>();
    for (int cell = 1; cell <= series; cell++) {
      if (suspect(cell).isPresent()) {
        cells.add(cell);
      }
    }
    return cells;
  }

  /** Resistance of the links and switches between the cells' sum and the pack's terminals. */
  double pathMohm() {
    boolean isSure = ring.count() >= SIGN_STEPS && ring.median(series) > 2 * ring.mad(series);
    return isSure ? ring.median(series) : Double.NaN;
  }

  private double at25(double activation) {
    return median / Arrhenius.factor(celsius(), activation);
  }

  private double sumMohm() {
    double sum = 0;
    for (int i = 0; i < series; i++) {
      sum += ring.median(i);
    }
    return sum;
  }

  ResistanceResult result() {
    List<Cell> cells = new ArrayList<>();
    for (int cell = 1; cell <= series; cell++) {
      cells.add(cell(cell));
    }
    return new ResistanceResult(
        cells,
        median,
        pathMohm(),
        sumMohm(),
        at25(),
        pulseSeconds(),
        ring.count(),
        celsius(),
        sign(),
        byTemperature());
  }

  private Optional<Interval> at25() {
    double least = at25(Arrhenius.LEAST);
    double most = at25(Arrhenius.MOST);
    return Double.isNaN(least)
        ? Optional.empty()
        : Optional.of(
            new Interval(Math.min(least, most), (least + most) / 2, Math.max(least, most)));
  }

  private Cell cell(int cell) {
    double mohm = ring.median(cell - 1);
    double half =
        noiseShare() * Math.abs(median)
            + (CurrentFit.USUAL_GAIN + ring.bias() + warmth()) * Math.abs(mohm);
    Optional<Suspect> suspect = suspect(cell);
    boolean isStrap = suspect.filter(s -> s == Suspect.STRAP).isPresent();
    return new Cell(
        cell,
        new Interval(mohm - half, mohm, mohm + half),
        pulseSeconds(),
        ring.count(),
        ring.mad(cell - 1),
        celsius(),
        suspect,
        isStrap ? mohm - median : Double.NaN);
  }

  /** What the temperature that is named leaves open, a share of the resistance. */
  private double warmth() {
    double celsius = celsius();
    return Double.isNaN(celsius)
        ? 0
        : Arrhenius.factor(celsius - COARSE_K, Arrhenius.MOST)
                / Arrhenius.factor(celsius, Arrhenius.MOST)
            - 1;
  }

  private List<AtTemperature> byTemperature() {
    List<AtTemperature> rows = new ArrayList<>();
    for (int other : bins.all()) {
      for (int p = 0; p < pulseS.length; p++) {
        StepRing steps = bins.ring(other, p);
        if (steps.count() > 0) {
          rows.add(new AtTemperature(steps.celsius(), pulseS[p], steps.count(), medianOf(steps)));
        }
      }
    }
    return rows;
  }
}
