package org.cellherd.report;

import org.cellherd.analysis.FindingName;

/** How each kind of number was got, in plain words. */
final class HowKnown {

  private HowKnown() {}

  static String of(FindingName name) {
    return switch (name) {
      case BALANCE, FULL_CHARGE ->
          "A cell's lead is the charge that flowed between the moment it crossed a voltage of the"
              + " upper knee and the moment the last cell did, less what was bled since. Bounds"
              + " come from the current sensor's error and from the levels disagreeing. Hours to"
              + " go are the lead divided by the bleed current that was seen.";
      case CAPACITY ->
          "Charge counted by the board's current sensor from a known full state to the first cell"
              + " at its lower limit. Bounds come from the sensor's error, from gaps and from what"
              + " the sensor prints as zero.";
      case RESISTANCE ->
          "Voltage step of each cell divided by the current step, over many steps; the median and"
              + " the spread around it. It depends on temperature and on how long a step lasts.";
      case REST ->
          "Slope of each cell's distance from the median over hours without current, with its"
              + " standard error. A leak in mA follows from the slope of the voltage curve, which"
              + " is known only roughly.";
      case ENERGY -> "Voltage times current, added up over each local day; gaps are left out.";
      case AGEING ->
          "Cycles are the charge moved so far divided by the rated capacity. Life left comes from"
              + " a published model of large LFP cells for this temperature, charge and use, within"
              + " a factor of two either way, and from a straight line through the measured"
              + " capacities as soon as there are enough. It is a trend, not a promise.";
      case SOC ->
          "Charge counted since the last known full or empty state. The interval widens with time"
              + " and current and closes at the next full charge.";
      case PLAUSIBILITY ->
          "Readings that contradict each other: the sum of the cells against the pack, opposite"
              + " jumps of neighbours, impossible temperatures.";
    };
  }

  static String title(FindingName name) {
    return switch (name) {
      case BALANCE -> "Balance";
      case FULL_CHARGE -> "Full charges";
      case CAPACITY -> "Capacity";
      case RESISTANCE -> "Resistance";
      case REST -> "Rests";
      case ENERGY -> "Energy";
      case AGEING -> "Ageing";
      case SOC -> "State of charge";
      case PLAUSIBILITY -> "Doubtful readings";
    };
  }
}
