package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

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
    double lostAh) {

  void save(StateWriter out) {
    out.putLong(upMs).putDouble(countAh).putDouble(amperes).putDouble(slope);
    out.putBoolean(isSettled).putDouble(youth).putLong(bleedMs).putLong(heldMs).putDouble(lostAh);
  }

  static Crossing restore(StateReader in) {
    return new Crossing(
        in.getLong(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getBoolean(),
        in.getDouble(),
        in.getLong(),
        in.getLong(),
        in.getDouble());
  }
}
