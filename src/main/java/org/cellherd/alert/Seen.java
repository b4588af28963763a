package org.cellherd.alert;

/** What came of an acknowledgement. */
public enum Seen {
  /** Taken: the repeats stop. */
  DONE("done", "Acknowledged; its repeats stop."),
  /** Somebody had acknowledged the alert before; nothing has changed. */
  BEFORE("before", "It was acknowledged before; nothing has changed."),
  /** No active alert has this id. */
  UNKNOWN("unknown", "No active alert has this id; it may be over.");

  private final String word;
  private final String sentence;

  Seen(String word, String sentence) {
    this.word = word;
    this.sentence = sentence;
  }

  /** In answers. */
  public String word() {
    return word;
  }

  /** For people. */
  public String sentence() {
    return sentence;
  }
}
