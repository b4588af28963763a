package org.cellherd.analysis.resistance;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.AtTemperature;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResistanceResult.Sign;
import org.cellherd.analysis.trend.Medians;

/** What the steps so far say. */
final class ResistanceTable {
  /** The pulse that the trade reads, s. */
  private static final double WANTED_S = 10;

  /**
   * A resistance known no better, the gain of the current apart, is not told: sound cells of one
   * make differ by two such errors and more, so that a wider one would set no cell apart.
   */
  static final double MOST_ERROR = 0.10;

  /** Sensors of whole degrees are common: the temperature named may be off by so much, K. */
  private static final double COARSE_K = 0.5;

  /** Fewer steps than this name no suspect. */
  static final int LEAST_STEPS = 10;

  private static final int SIGN_STEPS = 5;
  private static final int FAR_BINS = 2;

  private final int series;
  private final double[] pulseS;
  private final TemperatureBins bins;
  private final int pulse;
  private final int bin;
  private final StepRing ring;
  private final double median;
  private final Excesses excesses;
  private final Steps source;

  /**
   * What a table is made of.
   *
   * @param pulseS length of each pulse, s
   * @param bins the steps that measure all cells well
   * @param excesses what every step leaves open
   */
  @SuppressWarnings("ArrayRecordComponent")
  record Steps(double[] pulseS, TemperatureBins bins, Excesses excesses) {}

  private ResistanceTable(Steps of, int pulse, int bin) {
    source = of;
    series = of.excesses.series();
    pulseS = of.pulseS.clone();
    bins = of.bins;
    excesses = of.excesses;
    this.pulse = pulse;
    this.bin = bin;
    ring = bins.ring(bin, pulse);
    median = isOfMost() ? medianOf(ring) : Double.NaN;
  }

  /**
   * The table of the pulse of 10 s if it has enough steps, else of that which tells most cells, at
   * the temperature with most steps; empty where no cell is known well enough.
   */
  static Optional<ResistanceTable> of(Steps steps) {
    List<ResistanceTable> known = all(steps);
    Comparator<ResistanceTable> byCells =
        Comparator.<ResistanceTable>comparingInt(table -> table.toldCells())
            .thenComparingLong(table -> table.ring.total());
    Optional<ResistanceTable> most = known.stream().max(byCells);
    return known.stream()
        .filter(table -> table.pulseSeconds() == WANTED_S && table.isOfMost())
        .max(byCells)
        .filter(table -> 3 * table.ring.total() >= Math.min(most(most), 3 * SIGN_STEPS))
        .or(() -> most);
  }

  /** At each temperature and pulse that tells a cell. */
  private static List<ResistanceTable> all(Steps steps) {
    List<ResistanceTable> known = new ArrayList<>();
    for (int bin : steps.bins.all()) {
      for (int pulse = 0; pulse < steps.pulseS.length; pulse++) {
        if (steps.bins.ring(bin, pulse).count() > 0) {
          known.add(new ResistanceTable(steps, pulse, bin));
        }
      }
    }
    known.removeIf(table -> table.toldCells() == 0);
    return known;
  }

  /** True where a median cell can be told. */
  boolean isOfMost() {
    return 2 * toldCells() >= series;
  }

  private int toldCells() {
    int told = 0;
    for (int cell = 1; cell <= series; cell++) {
      told += isTold(cell) ? 1 : 0;
    }
    return told;
  }

  /** True where a cell, from 1, is known well enough. No cell has less than none. */
  private boolean isTold(int cell) {
    if (!(ring.median(cell) > 0 || sign() == Sign.WRONG)) {
      return false;
    }
    // Near the ends of its curve a lone step may show a sound cell far above the others.
    double own = excesses.isSure(cell) ? ring.median(cell) : ring.usual();
    return unsureMohm(cell) <= mostError(own, ring.usual());
  }

  /**
   * How far a resistance may be off and still be told: a tenth of the usual cell's, or of its own
   * where it is far above. Not of every cell's own: noise that makes it large would let it pass,
   * and noise that makes it small would not, so that what passes would be too high.
   *
   * @param own of the cell, in any unit
   * @param usual of the usual cell, in the same one
   */
  static double mostError(double own, double usual) {
    double of = Math.abs(usual);
    return MOST_ERROR * (own > Excesses.RATIO * of ? own : of);
  }

  private double unsureMohm(int cell) {
    return Math.hypot(ring.noise(cell), ring.bias(cell));
  }

  private static long most(Optional<ResistanceTable> table) {
    return table.map(of -> of.ring.total()).orElse(0L);
  }

  private double medianOf(StepRing of) {
    return Medians.median(
        IntStream.rangeClosed(1, series)
            .mapToDouble(of::median)
            .filter(Double::isFinite)
            .toArray());
  }

  double mohm(int cell) {
    return ring.median(cell);
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

  /** Median temperature of the steps, degC; NaN when it is not known. */
  double celsius() {
    return ring.celsius();
  }

  /** Why a cell stands out, or that it does not. */
  Optional<ResistanceResult.Suspect> suspect(int cell) {
    boolean isHigh =
        series > 2
            && ring.count(cell) >= LEAST_STEPS
            && median > 0
            && ring.median(cell) > Excesses.RATIO * median;
    if (!isHigh && !excesses.isSure(cell)) {
      return Optional.empty();
    }
    for (int other : bins.all()) {
      boolean isFar = other != TemperatureBins.UNKNOWN && Math.abs(other - bin) >= FAR_BINS;
      if (isFar && bin != TemperatureBins.UNKNOWN) {
        ResistanceResult.Suspect verdict = against(cell, ring, bins.ring(other, pulse));
        if (verdict != ResistanceResult.Suspect.STRAP_OR_CELL) {
          return Optional.of(verdict);
        }
      }
    }
    return Optional.of(byPulse(cell));
  }

  /** By the shortest and the longest pulse that measure most cells: they differ most. */
  private ResistanceResult.Suspect byPulse(int cell) {
    StepRing[] most =
        IntStream.range(0, pulseS.length)
            .mapToObj(other -> bins.ring(bin, other))
            .filter(other -> 2 * measured(other).count() > series)
            .toArray(StepRing[]::new);
    return most.length < 2
        ? ResistanceResult.Suspect.STRAP_OR_CELL
        : against(cell, most[0], most[most.length - 1]);
  }

  /** By the cells that both have measured, so that the same ones are compared. */
  private ResistanceResult.Suspect against(int cell, StepRing one, StepRing other) {
    int[] both = measured(one).filter(c -> isMeasured(other, c)).toArray();
    if (2 * both.length <= series || Arrays.binarySearch(both, cell) < 0) {
      return ResistanceResult.Suspect.STRAP_OR_CELL;
    }
    double first = Medians.median(Arrays.stream(both).mapToDouble(one::median).toArray());
    double second = Medians.median(Arrays.stream(both).mapToDouble(other::median).toArray());
    return ExcessJudge.judge(one.median(cell) - first, first, other.median(cell) - second, second);
  }

  /** The cells, from 1, ascending, that a pulse has measured often enough. */
  private IntStream measured(StepRing of) {
    return IntStream.rangeClosed(1, series).filter(cell -> isMeasured(of, cell));
  }

  private static boolean isMeasured(StepRing of, int cell) {
    return of.count(cell) >= LEAST_STEPS / 2;
  }

  /** What the signs of the cells' resistances say of the current's. */
  Sign sign() {
    if (ring.count() < SIGN_STEPS) {
      return Sign.UNCONFIRMED;
    }
    int positive = 0;
    int negative = 0;
    int told = 0;
    for (int cell = 1; cell <= series; cell++) {
      positive += ring.median(cell) > 0 ? 1 : 0;
      negative += ring.median(cell) < 0 ? 1 : 0;
      told += ring.count(cell) > 0 ? 1 : 0;
    }
    return positive == told ? Sign.CONFIRMED : negative == told ? Sign.WRONG : Sign.UNCONFIRMED;
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
    boolean isSure = ring.count() >= SIGN_STEPS && ring.path() > 2 * ring.pathMad();
    return isSure ? ring.path() : Double.NaN;
  }

  private double at25(double activation) {
    return median / Arrhenius.factor(celsius(), activation);
  }

  private double sumMohm() {
    return IntStream.rangeClosed(1, series).mapToDouble(ring::median).sum();
  }

  /** Every cell that any pulse tells. */
  List<Cell> cells() {
    List<Cell> cells = new ArrayList<>();
    for (int cell = 1; cell <= series; cell++) {
      best(cell).ifPresent(cells::add);
    }
    return cells;
  }

  ResistanceResult result() {
    return sign() == Sign.WRONG
        ? ResistanceResult.ofSome(List.of(), pulseSeconds(), ring.count(), celsius(), Sign.WRONG)
        : new ResistanceResult(
            cells(),
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

  /** A cell that this pulse does not tell is told by another, where one does. */
  private Optional<Cell> best(int cell) {
    if (isTold(cell) || (ring.count(cell) > 0 && suspect(cell).isPresent())) {
      return Optional.of(cell(cell));
    }
    return all(source).stream()
        .filter(table -> table.isTold(cell))
        .min(Comparator.comparingDouble(table -> table.unsureMohm(cell) / table.ring.usual()))
        .map(table -> table.cell(cell))
        .or(
            () ->
                excesses.isSure(cell)
                    ? Optional.of(new ExcessReport(excesses, pulseS).cell(cell))
                    : Optional.empty());
  }

  private Cell cell(int cell) {
    double mohm = ring.median(cell);
    double ofValue = Math.abs(mohm) * Math.hypot(CurrentFit.USUAL_GAIN, warmth(ring.celsius(cell)));
    double half = Math.hypot(unsureMohm(cell), ofValue);
    Optional<ResistanceResult.Suspect> suspect = suspect(cell);
    boolean isStrap = suspect.filter(s -> s == ResistanceResult.Suspect.STRAP).isPresent();
    return new Cell(
        cell,
        new Interval(mohm - half, mohm, mohm + half),
        pulseSeconds(),
        ring.count(cell),
        ring.mad(cell),
        ring.celsius(cell),
        suspect,
        isStrap ? mohm - median : Double.NaN);
  }

  /** What the temperature that is named leaves open, a share of the resistance. */
  private static double warmth(double celsius) {
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
        if (medianOf(steps) > 0) {
          rows.add(new AtTemperature(steps.celsius(), pulseS[p], steps.count(), medianOf(steps)));
        }
      }
    }
    return rows;
  }
}
