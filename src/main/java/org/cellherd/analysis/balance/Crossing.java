package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.State;

/**
 * A cell rose through a level.
 *
 * @param upMs when, fold time
 * @param countAh charge counted by then, Ah
 * @param amperes current then
 * @param slope of the cell's voltage then, mV an Ah; 0 when it could not be measured
 * @param isSettled true when the current had been steady for minutes
 * @param youth 1 when the current had just begun, falling to 0 as all of its slow effect on the
 *     voltage has come
 * @param bleedMs how long the cell had been bled by then
 * @param heldMs how long a held charge had hidden in the dead zone by then
 * @param lostAh what may have flowed in gaps by then, Ah
 * @param samplingSquared by how much the count was off by then because the current changed between
 *     readings, one standard deviation, Ah squared
 */
record Crossing(
    long upMs,
    double countAh,
    double amperes,
    double slope,
    boolean isSettled,
    double youth,
    long bleedMs,
    long heldMs,
    double lostAh,
    double samplingSquared) {

  static final Crossing NONE = new Crossing(0, 0, 0, 0, false, 0, 0, 0, 0, 0);

  Crossing state(State io) {
    return new Crossing(
        io.number(upMs),
        io.number(countAh),
        io.number(amperes),
        io.number(slope),
        io.flag(isSettled),
        io.number(youth),
        io.number(bleedMs),
        io.number(heldMs),
        io.number(lostAh),
        io.number(samplingSquared));
  }
}
