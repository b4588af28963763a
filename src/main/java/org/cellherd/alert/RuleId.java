package org.cellherd.alert;

import java.util.Optional;
import org.cellherd.pack.Worded;

/** Every rule, named once: the word in topics, JSON, the config and the database. */
public enum RuleId implements Worded {
  /** A cell above its highest voltage. */
  CELL_HIGH,
  /** A cell below its lowest voltage. */
  CELL_LOW,
  /** A cell will reach a limit soon at its present rate. */
  LIMIT_AHEAD,
  /** A cell runs away from the others at the top of charge. */
  RUNNER,
  /** The leader trips the board again and again. */
  BOUNCE,
  /** Balance gets worse, or does not get better. */
  IMBALANCE,
  /** The spread of a pack that was balanced is wide again. */
  SPREAD,
  /** Too hot. */
  HOT,
  /** Rises too fast. */
  HEATING,
  /** Too cold for any use. */
  COLD,
  /** Charged while too cold. */
  COLD_CHARGE,
  /** Charged faster or higher than published tables allow at the cells' temperature. */
  CHARGE_ZONE,
  /** The coming morning's charge will meet cold cells. */
  COLD_MORNING,
  /** Current above a rating. */
  OVER_CURRENT,
  /** The board says nothing. */
  SILENT,
  /** The board says the same for too long. */
  FROZEN,
  /** The board reports another number of cells than the plan. */
  CELL_COUNT,
  /** Another board answers than before. */
  WRONG_BOARD,
  /** The readings cannot be true: sum, tap, thermistor, sign. */
  IMPLAUSIBLE,
  /** The pack will be empty before the sun is back. */
  EMPTY_AHEAD,
  /** A stored pack will reach its cut-off. */
  STORED_LOW,
  /** The charge voltage is not what it used to be. */
  CHARGE_VOLTAGE,
  /** Not truly full for long. */
  NEVER_FULL,
  /** A cell leaks. */
  LEAK,
  /** Capacity fell against the first accepted test. */
  CAPACITY,
  /** A cell's resistance stands out. */
  RESISTANCE,
  /** A pack of a bank carries too little or too much, or is open. */
  BANK_SHARE,
  /** The program was started again. */
  RESTARTED,
  /** The log cannot be written. */
  STORE,
  /** Somebody asked for a test. */
  TEST;

  /** The rule of a word, or empty. */
  public static Optional<RuleId> ofWord(String word) {
    return Worded.find(values(), word);
  }
}
