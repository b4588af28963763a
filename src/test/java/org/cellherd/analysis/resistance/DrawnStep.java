package org.cellherd.analysis.resistance;

import java.util.List;
import java.util.function.Consumer;
import java.util.function.DoublePredicate;
import java.util.random.RandomGenerator;
import java.util.stream.IntStream;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.DrawnBoard;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.Strata;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** A pack of drawn cells behind a drawn board, and what is done with it. */
final class DrawnStep {
  private static final int STEEP_TENTH_MV = 35_500;

  private final PackPlan plan;
  private final ModelPack pack;
  private final DrawnBoard board;
  private final FoldBench bench;
  private Consumer<Reading> listener;
  private final long stepMs;
  private double amps;
  private final RandomGenerator random;

  DrawnStep(RandomGenerator random) {
    this(random, Chemistry.LFP);
  }

  DrawnStep(RandomGenerator random, Chemistry chemistry) {
    this.random = random;
    int cells = random.nextInt(4, 9);
    double rated = Math.rint(20 * Math.pow(15, random.nextDouble()));
    plan =
        PackPlan.builder("p", chemistry, cells, 1, (int) (1000 * rated))
            .chargeMv(cells * 3500)
            .build();
    pack = new ModelPack(plan, 1_800_000_000_000L, random.nextDouble(0.2, 0.99));
    pack.pair(random.nextDouble(0.5, 1.5), 5 * Math.pow(60, random.nextDouble()));
    for (int cell = 1; cell <= cells; cell++) {
      pack.ohms(cell, random.nextDouble(0.03, 0.09) / rated);
    }
    board = new DrawnBoard(random, cells, rated);
    stepMs = Math.round(500 * Math.pow(100, random.nextDouble()));
    amps = rated * random.nextDouble(0.2, 1);
    bench =
        new FoldBench(plan, AnalysisSettings.of(plan), FindingName.RESISTANCE, ResistanceFold::new);
    listener = bench::feed;
  }

  /** A load that moves the cells by no more than noise leaves them just told or not. */
  DrawnStep small() {
    amps = Math.max(plan.ratedAh() / 20, 0.3 * amps);
    return this;
  }

  boolean run(Strata strata) {
    List<Facts> cells = told();
    cells.forEach(row -> judge(strata, row));
    return !cells.isEmpty();
  }

  /**
   * A cell of a line and an end that falls off exponentially, both drawn, charged from anywhere in
   * its lower half. Shapes and their ranges from memory.
   */
  void runFromEmpty(Strata strata) {
    boolean isNmc = plan.chemistry() == Chemistry.NMC;
    double base = isNmc ? 3.4 : plan.chemistry() == Chemistry.LTO ? 2.15 : 2.6;
    double slope = random.nextDouble(0.4, 0.6) * (isNmc ? 1 : base - 1.6);
    double end = random.nextDouble(0.4, 0.6);
    double width = random.nextDouble(0.02, 0.04);
    pack.curve(z -> base + slope * z - end * Math.exp(-z / width));
    double soc = 0.005 * Math.pow(100, random.nextDouble());
    for (int cell = 1; cell <= plan.series(); cell++) {
      pack.cell(cell, plan.ratedAh(), soc * random.nextDouble(1, 1.5));
    }
    flow(1_800_000, 0);
    change(0, amps);
    flow(600_000, amps);
    standing().forEach(row -> judge(strata, row));
  }

  /** Two or three loads, none of which moves the cells far along their plateau. */
  void runUnlike(Strata strata) {
    for (int cell = 1; cell <= plan.series(); cell++) {
      pack.cell(cell, plan.ratedAh(), random.nextDouble(0.4, 0.7));
    }
    flow(600_000, 0);
    int loads = random.nextInt(2, 4);
    for (int i = 0; i < loads; i++) {
      amps = plan.ratedAh() * 0.05 * Math.pow(20, random.nextDouble());
      change(0, -amps);
      flow(90_000, -amps);
      if (random.nextBoolean()) {
        change(-amps, 0);
      }
      flow(600_000, 0);
    }
    standing().forEach(row -> judge(strata, row));
  }

  /**
   * Knees of drawn width at both ends of a plateau, and a surface that runs ahead of the bulk;
   * ranges from memory. The charger stops at the first full cell, the board at the first empty one.
   */
  void runCycles(Strata strata) {
    double low = random.nextDouble(0.012, 0.03);
    double high = random.nextDouble(0.004, 0.012);
    pack.curve(
        z ->
            3.25
                + 0.08 * z
                - 0.7 * Math.exp(-Math.max(z, -0.01) / low)
                + 0.25 * Math.exp(Math.min((z - 1) / high, 1)));
    pack.surface(random.nextDouble(0.005, 0.05), random.nextDouble(1_200, 5_400));
    double soc = random.nextDouble(0.3, 0.6);
    double usual = random.nextDouble(0.03, 0.09) / plan.ratedAh();
    for (int cell = 1; cell <= plan.series(); cell++) {
      pack.cell(cell, plan.ratedAh() * random.nextDouble(0.9, 1), soc + random.nextDouble(0.03));
      pack.ohms(cell, usual * random.nextDouble(0.75, 1.25));
    }
    for (int i = 0; i < 2; i++) {
      double charge = plan.ratedAh() * random.nextDouble(0.15, 0.4);
      amps = plan.ratedAh() * 0.05 * Math.pow(40, random.nextDouble());
      flow(600_000, 0);
      change(0, charge);
      flow(600_000, charge);
      pass(charge, (0.97 - most()) * 0.9 * plan.ratedAh());
      until(charge, mv -> mv < 3_600);
      change(charge, 0);
      flow(1_200_000, 0);
      change(0, -amps);
      flow(600_000, -amps);
      pass(-amps, (least() - 0.08) * 0.9 * plan.ratedAh());
      while (lowestMv(-amps) > 2_700) {
        flow(stepMs, -amps);
      }
      change(-amps, 0);
      flow(1_200_000, 0);
    }
    standing().forEach(row -> judge(strata, row));
  }

  /** By how much each cell that is told is off, a share. */
  void errors(List<Double> off) {
    told().forEach(row -> off.add(row.number("mohm").orElseThrow() / truth(row) - 1));
  }

  private double truth(Facts row) {
    return 1000
        * pack.ohmsAfter(
            (int) row.number("cell").orElseThrow(), row.number("pulse_s").orElseThrow());
  }

  private List<Facts> told() {
    flow(1_800_000, 0);
    change(0, -amps);
    flow(600_000, -amps);
    change(-amps, 0);
    flow(600_000, 0);
    return standing();
  }

  private List<Facts> standing() {
    return bench.maybeStanding().stream()
        .flatMap(found -> ((List<?>) found.facts().get("cells").orElseThrow()).stream())
        .map(Facts.class::cast)
        .toList();
  }

  /** Sound cells but for the joint of one, half of the packs just charged and still relaxing. */
  void judgeJoint(Joints joints) {
    int cells = plan.series();
    int bad = random.nextInt(1, cells + 1);
    double usual = random.nextDouble(0.03, 0.09) / plan.ratedAh();
    double more = joint(bad, usual);
    boolean isFull = random.nextBoolean();
    for (int cell = 1; cell <= cells && isFull; cell++) {
      pack.cell(cell, plan.ratedAh(), random.nextDouble(0.96, 0.99));
    }
    flow(1_800_000, 0);
    for (int i = 0; i < 2; i++) {
      flow(600_000, -amps);
      flow(600_000, 0);
    }
    // Twice the others' own on the plateau, or near full where a pulse is short.
    boolean isPlain = more > 2 * usual && 1000 * amps * usual > 10;
    isPlain &= isFull ? stepMs < 1_500 : stepMs < 10_000;
    count(joints, isPlain, more > 0 ? bad : 0);
  }

  /** Sound cells, and in half of the packs a joint that one of them has beyond its own, ohm. */
  private double joint(int bad, double usual) {
    for (int cell = 1; cell <= plan.series(); cell++) {
      pack.ohms(cell, usual * random.nextDouble(0.75, 1.25));
    }
    double more = random.nextBoolean() ? usual * random.nextDouble(0.5, 6) : 0;
    pack.ohms(bad, usual + more);
    return more;
  }

  /** Cells apart in charge and capacity, charged until one is full and emptied until one is. */
  void judgeCycle(Joints joints) {
    int cells = plan.series();
    int bad = random.nextInt(1, cells + 1);
    double usual = random.nextDouble(0.03, 0.09) / plan.ratedAh();
    double more = joint(bad, usual);
    double soc = random.nextDouble(0.2, 0.6);
    for (int cell = 1; cell <= cells; cell++) {
      double ah = plan.ratedAh() * random.nextDouble(0.9, 1);
      pack.cell(cell, ah, soc + random.nextDouble(0.03));
    }
    double charge = plan.ratedAh() * random.nextDouble(0.15, 0.4);
    flow(1_800_000, 0);
    change(0, charge);
    flow(600_000, charge);
    pass(charge, (0.975 - most()) * 0.9 * plan.ratedAh());
    flow(600_000, charge);
    change(charge, 0);
    flow(1_800_000, 0);
    change(0, -amps);
    flow(120_000, -amps);
    pass(-amps, (least() - 0.02) * 0.9 * plan.ratedAh());
    while (least() > 0.002) {
      flow(stepMs, -amps);
    }
    change(-amps, 0);
    flow(1_800_000, 0);
    // As much as the others have, under a load that moves them by more than a coarse digit.
    boolean isPlain = more > usual && 1000 * amps * usual > 5 && stepMs < 10_000;
    count(joints, isPlain, more > 0 ? bad : 0);
  }

  /**
   * The board cuts the charge at the first cell and lets it come back from a load. Slope at 3.65 V:
   * 200 to 600 mV for a percent, where the curve of the plan's model has 260.
   */
  void judgeTrips(int[] held) {
    double width = random.nextDouble(0.005, 0.015);
    pack.curve(z -> 3.335 + 0.3 * Math.exp((z - 1) / width));
    for (int cell = 1; cell <= plan.series(); cell++) {
      pack.cell(cell, plan.ratedAh(), 1 + width * random.nextDouble(-4, -0.5));
    }
    double charge = plan.ratedAh() * random.nextDouble(0.05, 0.2);
    double load = plan.ratedAh() * random.nextDouble(0.01, 0.05);
    double tripMv = random.nextDouble(3600, 3750);
    double backMv = tripMv - random.nextDouble(50, 200);
    watchBounds(held);
    for (int i = 0; i < 16; i++) {
      change(-load, charge);
      until(charge, mv -> mv < tripMv);
      change(charge, -load);
      until(-load, mv -> mv > backMv);
    }
  }

  /** Counts the cells whose true resistance each step leaves open, of all. */
  private void watchBounds(int[] held) {
    Moment moment = new Moment(plan, AnalysisSettings.of(plan));
    LoadSteps[] steps = new LoadSteps[1];
    steps[0] =
        new LoadSteps(
            plan,
            moment,
            (int) (50 * plan.ratedAh()),
            List.of(1_000L, 10_000L, 60_000L, 120_000L),
            (pulse, before, after, ma) -> {
              StepCells step = new StepCells(plan, steps[0], pulse, before, after, ma, 1, 0);
              for (int cell = 1; cell <= plan.series() && step.isWhole(); cell++) {
                if (after.median(cell - 1) > STEEP_TENTH_MV) {
                  double ohms = pack.ohmsAfter(cell, steps[0].passedS(pulse));
                  held[0] += isOpen(step, cell, ohms * Math.abs(ma)) ? 1 : 0;
                  held[1]++;
                }
              }
            });
    listener =
        reading -> {
          moment.accept(reading);
          steps[0].accept(reading);
        };
  }

  private static boolean isOpen(StepCells step, int cell, double truthMv) {
    Interval mv = step.ohmicMv(cell);
    double slack = step.noiseMv() + 0.03 * truthMv;
    return mv.low() - slack <= truthMv && truthMv <= mv.high() + slack;
  }

  private void until(double current, DoublePredicate goesOn) {
    do {
      flow(stepMs, current);
    } while (goesOn.test(highestMv(current)));
  }

  private double lowestMv(double current) {
    CellVoltages cells = pack.read(current).cells();
    return cells.mv(cells.lowestCell());
  }

  private double highestMv(double current) {
    CellVoltages cells = pack.read(current).cells();
    return cells.mv(cells.highestCell());
  }

  /** Nothing is heard while so much flows. */
  private void pass(double current, double ah) {
    pack.skip(Math.max(0, Math.round(3_600_000 * ah / Math.abs(current))), current);
  }

  private double most() {
    return IntStream.rangeClosed(1, plan.series()).mapToDouble(pack::soc).max().orElseThrow();
  }

  private double least() {
    return IntStream.rangeClosed(1, plan.series()).mapToDouble(pack::soc).min().orElseThrow();
  }

  private void count(Joints joints, boolean isPlain, int bad) {
    int named = bench.maybeStanding().map(found -> named(joints, found, bad)).orElse(0);
    joints.plain += isPlain ? 1 : 0;
    joints.named += isPlain ? named : 0;
  }

  private static int named(Joints joints, Finding found, int bad) {
    int named = 0;
    for (Object row : (List<?>) found.facts().get("cells").orElseThrow()) {
      Facts cell = (Facts) row;
      if (cell.text("suspect").isPresent()) {
        boolean isBad = cell.number("cell").orElseThrow() == bad;
        named += isBad ? 1 : 0;
        joints.wrong += isBad ? 0 : 1;
      }
    }
    return named;
  }

  private void judge(Strata strata, Facts row) {
    double mohm = row.number("mohm").orElseThrow();
    double truth = truth(row);
    String[] of = board.strata();
    strata.told(
        truth >= row.number("mohm_low").orElseThrow()
            && truth <= row.number("mohm_high").orElseThrow()
            && Math.abs(mohm / truth - 1) <= 0.1,
        100 * Math.abs(mohm / truth - 1),
        row + " of " + truth + " every " + stepMs + " ms at " + amps / plan.ratedAh() + "C",
        of[1],
        of[2],
        stepMs < 2_000 ? "below 2 s" : stepMs < 10_000 ? "2 to 10 s" : "10 s on");
  }

  /** The current changes anywhere between two readings. */
  private void change(double from, double to) {
    long late = Math.round(stepMs * random.nextDouble());
    pack.step(late, from);
    board.print(pack.step(stepMs - late, to)).ifPresent(listener);
  }

  private void flow(long ms, double current) {
    for (long at = 0; at < ms; at += stepMs) {
      board.print(pack.step(stepMs, current)).ifPresent(listener);
    }
  }

  /** Bad joints by what became of them. */
  static final class Joints {
    int plain;
    int named;
    int wrong;

    @Override
    public String toString() {
      return named + " of " + plain + " plain ones named, " + wrong + " wrong";
    }
  }
}
