package org.cellherd.sim;

import java.util.SplittableRandom;
import org.cellherd.pack.CellVoltages;

/** The board's voltage and current inputs. Belongs to one thread. */
final class AnalogInputs {

  private final MeterTraits traits;
  private final ValueFaults faults;
  private final double[] offsetV;
  private final double[] sensedV;
  private double averageMa;

  AnalogInputs(MeterTraits traits, ValueFaults faults, int cells, Chance chance) {
    this.traits = traits;
    this.faults = faults;
    this.offsetV = new double[cells];
    this.sensedV = new double[cells];
    for (int i = 0; i < cells; i++) {
      offsetV[i] = traits.cellOffsetMv() / 1000 * chance.of("offset").normal(i);
    }
  }

  /** Looks at the inputs, and averages the current over some seconds. */
  void step(SimPack pack, double seconds) {
    double tau = traits.currentFilterS();
    double share = tau <= 0 ? 1 : 1 - Math.exp(-seconds / tau);
    averageMa += (pack.currentA() * 1000 - averageMa) * share;
    for (int i = 0; i < sensedV.length; i++) {
      sensedV[i] = pack.sensedV(i + 1) + offsetV[i];
    }
    swap(faults.swappedTap);
  }

  /** Taps j and j+1 swapped: V(j)+V(j+1), -V(j+1), V(j+1)+V(j+2). */
  private void swap(int tap) {
    if (tap < 1 || tap >= sensedV.length) {
      return;
    }
    double between = sensedV[tap];
    sensedV[tap - 1] += between;
    sensedV[tap] = -between;
    if (tap + 1 < sensedV.length) {
      sensedV[tap + 1] += between;
    }
  }

  /** What the inputs see of each cell, without noise, V; not to be changed. */
  double[] sensedV() {
    return sensedV;
  }

  /** The current that would be printed without noise, mA. */
  double printedMa() {
    return shown(averageMa, 0);
  }

  int currentMa(SplittableRandom noise) {
    double spread = traits.currentNoiseMa();
    return (int) shown(averageMa, spread > 0 ? spread * noise.nextGaussian() : 0);
  }

  private double shown(double trueMa, double noiseMa) {
    double ma =
        trueMa * traits.currentGain() + traits.currentOffsetMa() + faults.currentShiftMa + noiseMa;
    if (Math.abs(ma) < traits.zeroBelowMa()) {
      return 0;
    }
    double stepped = Math.round(ma / traits.currentStepMa()) * traits.currentStepMa();
    return Math.round(traits.invertedSign() ? -stepped : stepped);
  }

  /** Voltages as printed; the stuck cell keeps its number of the reading before. */
  CellVoltages cells(SplittableRandom noise, CellVoltages before) {
    int count = faults.cellCount > 0 ? faults.cellCount : traits.reportedCells();
    int[] printed = new int[count > 0 ? count : sensedV.length];
    for (int i = 0; i < printed.length; i++) {
      double error = traits.cellNoiseMv() > 0 ? traits.cellNoiseMv() * noise.nextGaussian() : 0;
      printed[i] = i < sensedV.length ? step(sensedV[i] * 1000 + error) : 0;
    }
    int stuck = faults.stuckCell;
    if (before.has(stuck) && stuck <= printed.length) {
      printed[stuck - 1] = before.tenthMv(stuck);
    }
    return CellVoltages.ofTenthMv(printed);
  }

  private int step(double millivolts) {
    double stepped = Math.round(millivolts / traits.cellStepMv()) * traits.cellStepMv();
    return (int) Math.round(stepped * 10);
  }

  int packMv(SimPack pack, SplittableRandom noise) {
    double error = traits.cellNoiseMv() > 0 ? traits.cellNoiseMv() * noise.nextGaussian() : 0;
    double mv = pack.stackV() * 1000 + traits.packOffsetMv() + error;
    return (int) Math.round(Math.round(mv / traits.packStepMv()) * traits.packStepMv());
  }
}
