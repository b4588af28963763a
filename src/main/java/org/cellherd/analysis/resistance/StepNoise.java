package org.cellherd.analysis.resistance;

/**
 * Noise of a cell's voltage as the readings around a step show it: by how far a reading lies off
 * the line of its neighbours, whatever the cells are doing.
 */
final class StepNoise {
  /** What boards have, as far as nothing else is seen (common practice, no source). */
  private static final double USUAL_MV = 1;

  /** The usual noise counts as so many differences seen. */
  private static final double WEIGHT = 10;

  /** Of a normal distribution's mean size, and of a second difference. */
  private static final double TO_SPREAD = Math.sqrt(Math.PI / 2) / Math.sqrt(6);

  private double count = WEIGHT;
  private double sumMv = WEIGHT * USUAL_MV;

  /** What the readings before and behind a step show. */
  StepNoise(Frames before, Frames after, int series) {
    learn(before, series);
    learn(after, series);
  }

  private void learn(Frames rows, int series) {
    for (int cell = 0; cell < series; cell++) {
      for (int row = 2; row < rows.count(); row++) {
        double bend = rows.at(row, cell) - 2.0 * rows.at(row - 1, cell) + rows.at(row - 2, cell);
        sumMv += TO_SPREAD * Math.abs(bend) / 10;
        count++;
      }
    }
  }

  private double mv() {
    return sumMv / count;
  }

  /** That of one reading whose last digit is this, mV. */
  double mv(double digitMv) {
    return Math.hypot(digitMv / Math.sqrt(12), mv());
  }

  /** That of the median of some readings, all of which may share the error of the last digit. */
  double mv(double digitMv, int readings) {
    double ofOne = readings < 3 ? 1 : Math.sqrt(Math.PI / 2);
    return Math.hypot(digitMv / Math.sqrt(12), ofOne * mv() / Math.sqrt(readings));
  }
}
