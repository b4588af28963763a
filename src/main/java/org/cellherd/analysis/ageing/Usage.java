package org.cellherd.analysis.ageing;

import org.cellherd.pack.Spoken;

/**
 * How a pack is used, on the average of its log.
 *
 * @param celsius mean cell temperature
 * @param soc mean state of charge, 0 to 1
 * @param depth depth of its cycles, 0 to 1
 * @param rate mean current while any flows, in C
 * @param cyclesPerDay equivalent full cycles a day
 */
record Usage(double celsius, double soc, double depth, double rate, double cyclesPerDay) {
  private static final double ROOM_C = 25;
  private static final double HALF = 0.6;
  private static final double DEEP = 0.8;

  /** Fills what the log does not tell: 25 degC, 60 % charge, 80 % depth. */
  Usage withDefaults() {
    return new Usage(
        Double.isNaN(celsius) ? ROOM_C : celsius,
        Double.isNaN(soc) ? HALF : soc,
        Double.isNaN(depth) ? DEEP : depth,
        Double.isNaN(rate) ? 0 : rate,
        cyclesPerDay);
  }

  /** True when the model's data cover this use; shallow cycles are taken as 80 % deep. */
  boolean isWithinModel() {
    return isWarmAsModel() && rate <= LifeModel.MOST_RATE;
  }

  private boolean isWarmAsModel() {
    return celsius >= LifeModel.COLDEST_C && celsius <= LifeModel.HOTTEST_C;
  }

  /** What of this use the model's data do not cover, in words. */
  String beyondModel() {
    return isWarmAsModel()
        ? "the mean current is %sC, and the ageing model knows up to %sC"
            .formatted(Spoken.number(rate, 2), Spoken.number(LifeModel.MOST_RATE, 2))
        : "the cells are at %s °C on average, and the ageing model knows %s to %s °C"
            .formatted(
                Spoken.number(celsius, 0),
                Spoken.number(LifeModel.COLDEST_C, 0),
                Spoken.number(LifeModel.HOTTEST_C, 0));
  }

  double calendarRate() {
    return LifeModel.calendarRate(celsius, soc);
  }

  double cyclingRate() {
    return LifeModel.cyclingRate(celsius, Math.max(DEEP, depth), rate);
  }
}
