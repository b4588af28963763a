package org.cellherd.analysis;

import org.cellherd.pack.Worded;

/**
 * Every kind of finding, named once: the word in MQTT topics, JSON and the database, and what a
 * report says of the kind.
 */
public enum FindingName implements Worded {
  /** Where the top balance stands. */
  BALANCE(
      "Balance",
      true,
      "One curve of charge over resting voltage is fitted to all cells of the pack as it charges."
          + " The place of each cell on it gives the leads, after what was bled is taken off. Their"
          + " bounds allow for the errors of current, voltages and resistances, and grow with the"
          + " misfit; cells that do not fit one curve get no lead. Hours to go are the lead divided"
          + " by the bleed current that was seen."),
  /** A full charge: when, and the lead of each cell at its top. */
  FULL_CHARGE(
      "Full charges",
      false,
      "A charge that came to its end. The leads at its top are found as those of the balance."),
  /** A measured capacity. */
  CAPACITY(
      "Capacity",
      false,
      "Charge counted by the board's current sensor from a known full state to the first cell at"
          + " its lower limit. Bounds come from the sensor's error, from gaps and from what the"
          + " sensor prints as zero."),
  /** Resistance of each cell and of the links. */
  RESISTANCE(
      "Resistance",
      true,
      "Voltage step of each cell divided by the current step, over many steps; the median and the"
          + " spread around it. It depends on temperature and on how long a step lasts."),
  /** A long rest and the drift of each cell in it. */
  REST(
      "Rests",
      false,
      "Slope of each cell's distance from the median over hours without current, with its"
          + " standard error. A leak in mA follows from the slope of the voltage curve, which is"
          + " known only roughly."),
  /** Energy of one local day. */
  ENERGY(
      "Energy", false, "Voltage times current, added up over each local day; gaps are left out."),
  /** Cycles, capacity history and life left. */
  AGEING(
      "Ageing",
      true,
      "Cycles are the charge moved so far divided by the rated capacity. Life left comes from a"
          + " published model of large LFP cells for this temperature, charge and use, within a"
          + " factor of two either way, and from a straight line through the measured capacities"
          + " as soon as there are enough. It is a trend, not a promise."),
  /** State of charge as an interval. */
  SOC(
      "State of charge",
      true,
      "Charge counted since the last known full or empty state. The interval widens with time and"
          + " current and closes at the next full charge."),
  /** Something about the readings is not believable. */
  PLAUSIBILITY(
      "Doubtful readings",
      false,
      "Readings that contradict each other: the sum of the cells against the pack, opposite jumps"
          + " of neighbours, impossible temperatures.");

  private final String title;
  private final boolean isState;
  private final String method;

  FindingName(String title, boolean isState, String method) {
    this.title = title;
    this.isState = isState;
    this.method = method;
  }

  public String title() {
    return title;
  }

  /** True where only the newest counts; false where each is something that happened. */
  public boolean isState() {
    return isState;
  }

  /** How such a number is got, in plain words. */
  public String method() {
    return method;
  }
}
