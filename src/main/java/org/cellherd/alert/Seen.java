package org.cellherd.alert;

import org.cellherd.pack.Worded;

/** What came of an acknowledgement. */
public enum Seen implements Worded {
  /** Taken: the repeats stop. */
  DONE("Acknowledged; its repeats stop."),
  /** Somebody had acknowledged the alert before; nothing has changed. */
  BEFORE("It was acknowledged before; nothing has changed."),
  /** No active alert has this id. */
  UNKNOWN("No active alert has this id; it may be over.");

  private final String sentence;

  Seen(String sentence) {
    this.sentence = sentence;
  }

  /** For people. */
  public String sentence() {
    return sentence;
  }
}
