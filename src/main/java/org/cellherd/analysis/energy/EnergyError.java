package org.cellherd.analysis.energy;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.state.State;

/**
 * How far the counted energy of a day may be off: by the current's offset over the time, by what is
 * printed as 0, by what nobody heard or looked at, by the gains of current and voltage. Belongs to
 * one thread.
 */
final class EnergyError {
  /** Gain of a board's voltages: right within half a percent (common practice, no source). */
  private static final double VOLTAGE_GAIN = 0.005;

  private static final double HALVES_PER_AH = Flow.CHARGE_PER_MAH * 1000.0;

  private final double volts;
  private double inLess;
  private double inMore;
  private double outLess;
  private double outMore;
  private double inSquared;
  private double outSquared;

  /**
   * Nothing is wrong yet.
   *
   * @param volts of the pack, good enough for an error
   */
  EnergyError(double volts) {
    this.volts = volts;
  }

  /**
   * A step was counted.
   *
   * @param offsetA what is printed less this flows, A
   * @param zoneA a small current may be printed wrong by half of it, A; of larger ones that is as
   *     often more as less
   */
  void add(Amounts step, Interval offsetA, double zoneA) {
    double hours = step.durationMs() / 3.6e6;
    if (hours > 0) {
      double counted = (step.charged() - step.discharged()) / HALVES_PER_AH / hours;
      double farthest = Math.max(-offsetA.low(), offsetA.high());
      double rounded = Math.abs(counted) < zoneA + farthest ? zoneA / 2 : 0;
      double least = counted - offsetA.high() - rounded;
      double most = counted - offsetA.low() + rounded;
      double wattHours = volts * hours;
      // What is printed as a small charge may be a discharge, and the other way about.
      inLess += wattHours * (Math.max(0, counted) - Math.max(0, least));
      inMore += wattHours * (Math.max(0, most) - Math.max(0, counted));
      outLess += wattHours * (Math.max(0, -counted) - Math.max(0, -most));
      outMore += wattHours * (Math.max(0, -least) - Math.max(0, -counted));
      double unsure = volts * volts * step.samplingSquared();
      inSquared += step.charged() > 0 ? unsure : 0;
      outSquared += step.discharged() > 0 ? unsure : 0;
    }
  }

  /** Nobody heard what flowed, at most so many Ah. */
  void unheard(double ah) {
    inMore += volts * ah;
    outMore += volts * ah;
  }

  /** Bounds of the energy that was put in, where so many Wh were counted. */
  Interval charged(double wh, Interval gain) {
    return bounds(wh, inLess, inMore, inSquared, gain);
  }

  /** Bounds of the energy that was drawn, where so many Wh were counted. */
  Interval discharged(double wh, Interval gain) {
    return bounds(wh, outLess, outMore, outSquared, gain);
  }

  /** Bounds of the difference: both halves are wrong by the same gain, and by the same offset. */
  Interval net(double inWh, double outWh, Interval gain) {
    double sampling = 2 * Math.sqrt(inSquared + outSquared);
    double low = inWh - outWh - Math.hypot(inLess + outMore, sampling);
    double high = inWh - outWh + Math.hypot(inMore + outLess, sampling);
    double least = gain.low() * (1 - VOLTAGE_GAIN);
    double most = gain.high() * (1 + VOLTAGE_GAIN);
    double counted = inWh - outWh;
    return new Interval(
        Math.min(counted, Math.min(low / least, low / most)),
        counted,
        Math.max(counted, Math.max(high / least, high / most)));
  }

  private static Interval bounds(
      double wh, double less, double more, double squared, Interval gain) {
    double sampling = 2 * Math.sqrt(squared);
    double low = (wh - Math.hypot(less, sampling)) / (gain.high() * (1 + VOLTAGE_GAIN));
    double high = (wh + Math.hypot(more, sampling)) / (gain.low() * (1 - VOLTAGE_GAIN));
    return new Interval(Math.min(wh, Math.max(0, low)), wh, Math.max(high, wh));
  }

  void clear() {
    inLess = 0;
    inMore = 0;
    outLess = 0;
    outMore = 0;
    inSquared = 0;
    outSquared = 0;
  }

  void state(State io) {
    inLess = io.number(inLess);
    inMore = io.number(inMore);
    outLess = io.number(outLess);
    outMore = io.number(outMore);
    inSquared = io.number(inSquared);
    outSquared = io.number(outSquared);
  }
}
