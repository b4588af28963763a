package org.cellherd.analysis.estimate;

import java.util.Arrays;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/** Sums over readings until something moves: the streaming part, additions and comparisons. */
final class ReadingSums {
  private static final double LONGEST_H = 60.0 / 3600;
  private static final double LEAST_STEP_A = 0.15;
  private static final double STEP_SHARE = 0.05;
  private static final double LEAST_MOVE_V = 0.003;

  private final int cells;
  private final CellTemperatures sensors;
  private final LaggedCurrent current = new LaggedCurrent();
  private final CellNoise noise;
  private final double[] sum;
  private final double[] first;
  private final double[] last;
  private final int[] count;
  private final double[] pulledSum;
  private final double[] pulledFirst;
  private final double[] pulledSquares;
  private final int[] pulledCount;
  private final double[] bled;
  private final double[] unsure;
  private final double[] sums = new double[6];
  private double fromH;
  private double lastH;
  private double firstA;
  private double deadZoneA;
  private double cold = 1;
  private int readings;

  ReadingSums(PackPlan plan) {
    cells = plan.series();
    sensors = new CellTemperatures(plan);
    noise = new CellNoise(cells);
    sum = new double[cells];
    first = new double[cells];
    last = new double[cells];
    count = new int[cells];
    pulledSum = new double[cells];
    pulledFirst = new double[cells];
    pulledSquares = new double[cells];
    pulledCount = new int[cells];
    bled = new double[cells];
    unsure = new double[cells];
  }

  /** Counted charge so far, Ah. */
  double ah() {
    return current.ah();
  }

  /** Takes the latest reading; a block when the readings before it are one. */
  @Nullable Block accept(Moment m, BleedPull pull, Bleeding bleeding, double unsureSquared) {
    boolean isOver = readings > 0 && isOver(m, pull);
    Block out = isOver ? close() : null;
    current.accept(m, unsureSquared);
    if (readings == 0) {
      fromH = hours(m);
      firstA = current.now();
      Arrays.fill(first, Double.NaN);
    }
    readings = Math.min(Block.MOST_READINGS, readings + 1);
    current.addTo(sums);
    lastH = hours(m);
    deadZoneA = m.deadZoneMa() / 1000.0;
    int tenthC = sensors.mean(m.reading().map(Reading::temperatures).orElse(Temperatures.NONE));
    if (tenthC != CellTemperatures.MISSING) {
      cold = Arrhenius.factor(tenthC / 10.0, ErrorBudget.ACTIVATION);
    }
    boolean isPulling = pull.isPulling();
    for (int i = 0; i < cells; i++) {
      int tenthMv = m.cell(i + 1);
      if (isPulling && tenthMv != Moment.MISSING && pull.isPulled(i)) {
        addPulled(i, tenthMv / 10_000.0 + pull.correction(i) / 1000);
      } else if (tenthMv != Moment.MISSING) {
        add(i, tenthMv / 10_000.0);
      }
    }
    bleeding.add(m, pull, bled, unsure);
    noise.accept(m);
    return out;
  }

  private static double hours(Moment m) {
    return m.upMs() / 3_600_000.0;
  }

  private void add(int i, double v) {
    last[i] = v;
    first[i] = Double.isNaN(first[i]) ? v : first[i];
    sum[i] += v;
    count[i]++;
  }

  /** What bleeding pulls counts, mended, only while nothing else is there. */
  private void addPulled(int i, double v) {
    last[i] = v;
    pulledFirst[i] = pulledCount[i] == 0 ? v : pulledFirst[i];
    double apart = v - pulledFirst[i];
    pulledSum[i] += v;
    pulledSquares[i] += apart * apart;
    pulledCount[i]++;
  }

  /** Root of the mean square by which voltages scatter from which bleeding's pull was taken, V. */
  private double scatter() {
    double sum = 0;
    int n = 0;
    for (int i = 0; i < cells; i++) {
      if (count[i] == 0 && pulledCount[i] > 1) {
        double mean = pulledSum[i] / pulledCount[i] - pulledFirst[i];
        sum += Math.max(0, pulledSquares[i] / pulledCount[i] - mean * mean);
        n++;
      }
    }
    return n == 0 ? 0 : Math.sqrt(sum / n);
  }

  private double mean(int i) {
    return count[i] > 0
        ? sum[i] / count[i]
        : pulledCount[i] > 0 ? pulledSum[i] / pulledCount[i] : last[i];
  }

  private boolean isOver(Moment m, BleedPull pull) {
    double amperes = m.currentMa() == Moment.MISSING ? current.now() : m.currentMa() / 1000.0;
    double step = Block.Currents.step(amperes, firstA, m.deadZoneMa() / 1000.0);
    if (!m.isJoined()
        || hours(m) - fromH > LONGEST_H
        || step > LEAST_STEP_A + STEP_SHARE * Math.abs(amperes)) {
      return true;
    }
    double most = Math.max(Math.max(LEAST_MOVE_V, 1.5 * noise.resolution()), 6 * noise.volts());
    boolean isPulling = pull.isPulling();
    for (int i = 0; i < cells; i++) {
      int raw = m.cell(i + 1);
      if (raw != Moment.MISSING
          && !(isPulling && pull.isPulled(i))
          && Math.abs(raw / 10_000.0 - first[i]) > most) {
        return true;
      }
    }
    return false;
  }

  private Block close() {
    double[] volts = new double[cells];
    long measures = 0;
    for (int i = 0; i < cells; i++) {
      volts[i] = mean(i);
      measures |= count[i] + pulledCount[i] == 0 ? 0 : 1L << i;
    }
    double n = readings;
    Block b =
        new Block(
            (fromH + lastH) / 2,
            volts,
            new Block.Currents(sums[0] / n, sums[1] / n, sums[2] / n, sums[3] / n, sums[4] / n),
            sums[5] / n,
            current.takeLostAh(),
            readings,
            measures,
            bled.clone(),
            unsure.clone(),
            noise.volts(),
            scatter(),
            noise.resolution(),
            deadZoneA,
            cold);
    readings = 0;
    Arrays.fill(sums, 0);
    Arrays.fill(sum, 0);
    Arrays.fill(count, 0);
    Arrays.fill(pulledSum, 0);
    Arrays.fill(pulledSquares, 0);
    Arrays.fill(pulledCount, 0);
    Arrays.fill(bled, 0);
    Arrays.fill(unsure, 0);
    return b;
  }

  void state(State io) {
    current.state(io);
    noise.state(io);
    io.each(sum);
    io.each(first);
    io.each(last);
    io.each(count);
    io.each(pulledSum);
    io.each(pulledFirst);
    io.each(pulledSquares);
    io.each(pulledCount);
    io.each(bled);
    io.each(unsure);
    io.each(sums);
    fromH = io.number(fromH);
    lastH = io.number(lastH);
    firstA = io.number(firstA);
    deadZoneA = io.number(deadZoneA);
    cold = io.number(cold);
    readings = io.within(readings, 0, Block.MOST_READINGS);
  }
}
