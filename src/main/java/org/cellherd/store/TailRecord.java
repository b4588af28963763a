package org.cellherd.store;

import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;

/**
 * One row in the tail of a log.
 *
 * @param identity of the log; 0 in a record of a version that did not write it
 */
record TailRecord(ReadingsRow row, int identity) {
  private static final TailRecord NONE = new TailRecord(ReadingsRow.NONE, 0);

  /** The record of some bytes; row number 0 where they are none. */
  static TailRecord of(byte[] body) {
    try {
      return SavedState.ofBytes(body).as(NONE, TailRecord::state);
    } catch (StateMismatch noRecord) {
      return NONE;
    }
  }

  byte[] bytes() {
    return SavedState.of(this, TailRecord::state).bytes();
  }

  private TailRecord state(State io) {
    return new TailRecord(row.state(io), io.last(identity, 0));
  }
}
