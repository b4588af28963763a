package org.cellherd.analysis;

import java.util.Locale;

/** Whether charging is really printed positive: told by the sign of the cells' resistance. */
public enum SignState {
  /** Fewer than five steps of the current were seen. */
  UNCONFIRMED,
  /** Voltages rise when the current does. */
  CONFIRMED,
  /** Voltages fall when the current rises: the board, or its description, has the sign wrong. */
  INVERTED;

  /** The word used outside. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
