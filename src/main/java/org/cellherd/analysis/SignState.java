package org.cellherd.analysis;

import org.cellherd.pack.Worded;

/** Whether charging is really printed positive: told by the sign of the cells' resistance. */
public enum SignState implements Worded {
  /** Fewer than five steps of the current were seen. */
  UNCONFIRMED,
  /** Voltages rise when the current does. */
  CONFIRMED,
  /** Voltages fall when the current rises: the board, or its description, has the sign wrong. */
  INVERTED;
}
