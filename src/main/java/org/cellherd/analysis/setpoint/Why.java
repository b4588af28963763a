package org.cellherd.analysis.setpoint;

import org.cellherd.pack.CellSheet;
import org.cellherd.pack.Chemistry;

/**
 * Where a number comes from.
 *
 * @param reason why this number, a sentence
 * @param source a published table, a key of the plan, or {@link #PRACTICE}
 */
record Why(String reason, String source) {

  /** Of a number that everybody uses and nobody published. */
  static final String PRACTICE = CellSheet.PRACTICE;

  /** The source of a cell's end voltage: the owner's key, a sheet, or practice. */
  static String ofLimit(Chemistry chemistry, int value, int usual, String key) {
    if (value != usual) {
      return "[pack.cell] " + key + " of the plan, as typed";
    }
    return chemistry.sheet().levels().source();
  }
}
