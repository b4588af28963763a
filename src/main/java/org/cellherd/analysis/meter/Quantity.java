package org.cellherd.analysis.meter;

/** What a meter can be asked about a pack. */
public enum Quantity {
  /** Current through the pack, positive while charging. */
  CURRENT("current", "A"),
  /** Voltage of one cell, at its terminals. */
  CELL("cell", "V"),
  /** Voltage of the whole pack. */
  PACK("voltage", "V"),
  /** Net charge into the pack over a time. */
  CHARGE("charge", "Ah"),
  /** Net energy into the pack over a time. */
  ENERGY("energy", "Wh"),
  /** Temperature at one of the board's sensors. */
  TEMPERATURE("temperature", "degC");

  private final String word;
  private final String unit;

  Quantity(String word, String unit) {
    this.word = word;
    this.unit = unit;
  }

  public String word() {
    return word;
  }

  /** The unit in which it is written. */
  public String unit() {
    return unit;
  }

  /** True for what has a number: which cell, which sensor. */
  public boolean isNumbered() {
    return this == CELL || this == TEMPERATURE;
  }

  /** True for what a counter adds up over a time. */
  public boolean isCounted() {
    return this == CHARGE || this == ENERGY;
  }
}
