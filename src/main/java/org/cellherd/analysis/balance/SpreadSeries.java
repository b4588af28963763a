package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Moments;

/**
 * Spread of the cells in one class of moments: mean, variance and maximum, and an exponential mean
 * of the last hour; by the minute, how far each cell is from the median.
 */
final class SpreadSeries {
  private static final double FADE_MS = 3_600_000;

  private final double[] deviation;
  private final Moments spread = new Moments();
  private double max;
  private double recent;
  private long minutes;
  private double amperes;

  SpreadSeries(int cells) {
    deviation = new double[cells];
  }

  void add(double spreadMv, long stepMs) {
    spread.add(spreadMv);
    max = Math.max(max, spreadMv);
    recent = count() == 1 ? spreadMv : recent + (spreadMv - recent) * stepMs / (stepMs + FADE_MS);
  }

  void addMinute(MinuteBlock minute) {
    minutes++;
    double middle = minute.median();
    for (int i = 0; i < deviation.length; i++) {
      deviation[i] += (minute.mv(i) - middle - deviation[i]) / minutes;
    }
    amperes += (minute.meanCurrent() - amperes) / minutes;
  }

  long count() {
    return spread.count();
  }

  double mean() {
    return spread.mean();
  }

  /** Sample standard deviation; 0 below two samples. */
  double deviation() {
    return count() < 2 ? 0 : spread.deviation();
  }

  double max() {
    return max;
  }

  /** Exponential mean of about the last hour in this class. */
  double recent() {
    return recent;
  }

  long minutes() {
    return minutes;
  }

  /** Mean distance of a cell, index from 0, from the median, mV. */
  double deviationMv(int i) {
    return deviation[i];
  }

  /** Mean current, A. */
  double amperes() {
    return amperes;
  }

  void state(State io) {
    spread.state(io);
    max = io.number(max);
    recent = io.number(recent);
    minutes = io.number(minutes);
    amperes = io.number(amperes);
    io.each(deviation);
  }
}
