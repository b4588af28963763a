package org.cellherd.sim;

import java.util.List;

/**
 * Everything about a board.
 *
 * @param meter how it measures
 * @param bleed when it bleeds
 * @param trip when it opens its switches
 * @param sleep when it sleeps
 * @param soc what it believes
 * @param sensors its temperature sensors
 * @param temperatureStepC resolution of temperatures
 * @param temperatureNoiseC standard deviation of temperatures
 * @param ownA what it takes from the whole stack
 */
record BoardTraits(
    MeterTraits meter,
    BleedTraits bleed,
    TripTraits trip,
    SleepTraits sleep,
    SocOpinion.Traits soc,
    List<SensorTraits> sensors,
    double temperatureStepC,
    double temperatureNoiseC,
    double ownA) {

  public BoardTraits {
    sensors = List.copyOf(sensors);
  }
}
