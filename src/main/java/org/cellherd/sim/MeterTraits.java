package org.cellherd.sim;

/**
 * How a board measures voltages and current.
 *
 * @param cellStepMv resolution of cell voltages, at least 0.1 mV
 * @param cellNoiseMv standard deviation of one cell voltage
 * @param cellOffsetMv standard deviation of each channel's fixed error
 * @param packStepMv resolution of the pack voltage
 * @param packOffsetMv fixed error of the pack voltage
 * @param currentStepMa resolution of the current
 * @param currentNoiseMa standard deviation of the current
 * @param currentOffsetMa fixed error of the current
 * @param currentGain what a true ampere shows as
 * @param currentFilterS time constant of its averaging; 0 is none
 * @param zeroBelowMa currents smaller than this are printed as 0
 * @param invertedSign charging is printed negative
 * @param reportedCells how many cells it prints, missing ones as 0 mV; 0 is as many as there are
 */
record MeterTraits(
    double cellStepMv,
    double cellNoiseMv,
    double cellOffsetMv,
    double packStepMv,
    double packOffsetMv,
    double currentStepMa,
    double currentNoiseMa,
    double currentOffsetMa,
    double currentGain,
    double currentFilterS,
    double zeroBelowMa,
    boolean invertedSign,
    int reportedCells) {

  /** Refuses steps that cannot be printed. */
  public MeterTraits {
    if (!(cellStepMv >= 0.1 && packStepMv >= 1 && currentStepMa >= 1)) {
      throw new IllegalArgumentException(
          "steps must be at least 0.1 mV a cell, 1 mV a pack, 1 mA, got %s %s %s"
              .formatted(cellStepMv, packStepMv, currentStepMa));
    }
  }
}
