package org.cellherd.analysis.setpoint;

import org.cellherd.pack.Chemistry;

/**
 * Where a number comes from.
 *
 * @param reason why this number, a sentence
 * @param source a published table, a key of the plan, or {@link #PRACTICE}
 */
record Why(String reason, String source) {

  /** Of a number that everybody uses and nobody published. */
  static final String PRACTICE = "common practice, no source";

  /** Of the highest and lowest voltage of an LFP cell. */
  static final String LFP_CELL = "published data sheet of a 304 Ah LFP cell";

  /** Of temperatures from 0 and from -20 degC on. */
  static final String PACK_SHEET =
      "a common pack sheet (charge 0 to 45 °C, discharge -20 to 60 °C)";

  /** Of charge rates of LFP by temperature. */
  static final String LFP_MODULE = "published manual of a 48 V 50 Ah LFP module";

  /** Of charge rates and voltages of the 4.2 V class by temperature. */
  static final String JEITA = "zones of JEITA, as a semiconductor maker's note gives them";

  /** The source of a cell's end voltage: the owner's key, a sheet, or practice. */
  static String ofLimit(Chemistry chemistry, int value, int usual, String key) {
    if (value != usual) {
      return "[pack.cell] " + key + " of the plan, as typed";
    }
    return chemistry == Chemistry.LFP ? LFP_CELL : PRACTICE;
  }
}
