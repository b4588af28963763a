package org.cellherd.analysis;

import java.util.List;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * A reason not to believe some readings.
 *
 * @param kind what is in doubt
 * @param cells cells concerned, from 1; empty when it is about the whole pack
 * @param sinceMs since when, ms UTC
 * @param likelyCause for people
 * @param lookAt what to look at first
 * @param facts evidence
 */
public record Suspicion(
    Kind kind, List<Integer> cells, long sinceMs, String likelyCause, String lookAt, Facts facts) {
  public Suspicion {
    cells = List.copyOf(cells);
  }

  /** What about the readings cannot be believed; the words stand in findings and alerts. */
  public enum Kind implements Worded {
    /** Two neighbours' sense wires are in each other's place. */
    SWAPPED_TAPS,
    /** A cell reads almost nothing, and the pack's voltage agrees. */
    DEAD_CELL,
    /** A cell reads almost nothing, and the pack's voltage does not agree. */
    OPEN_INPUT,
    /** A sense wire has a bad contact. */
    LOOSE_TAP,
    /** A cell's channel stands still while the others move. */
    STUCK_CELL,
    /** Two cells read the same, digit by digit. */
    DUPLICATE_CHANNEL,
    /** The cells do not add up to the pack's voltage. */
    SUM,
    /** More or less charge was counted than the pack can hold. */
    CHARGE_COUNT,
    /** The current sensor prints a current that is not there. */
    CURRENT_OFFSET,
    /** The current has the wrong sign. */
    CURRENT_SIGN,
    /** The current is too large or too small by a factor. */
    CURRENT_SCALE,
    /** A value that came in one reading only, and that nothing else agreed with. */
    LONE_VALUE,
    /** Several such values within an hour. */
    FLICKERING_VALUE,
    /** A temperature sensor is open. */
    THERMISTOR_OPEN,
    THERMISTOR_SHORT,
    /** A temperature sensor jumps further than a cell can. */
    THERMISTOR_JUMP,
    /** A temperature sensor has not moved for a day. */
    THERMISTOR_STUCK;

    /** True where temperatures are in doubt. */
    public boolean isThermistor() {
      return compareTo(THERMISTOR_OPEN) >= 0;
    }
  }
}
