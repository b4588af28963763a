package org.cellherd.alert;

import java.util.function.Consumer;
import org.cellherd.pack.Worded;

/** Takes an acknowledgement from wherever a person gave it: command line, page or MQTT. */
@FunctionalInterface
public interface Acknowledger {

  /**
   * Notes that somebody has seen an alert. Any thread.
   *
   * @param alertId the alert's id
   * @param by who, as given; at most 80 characters are kept
   * @param answer told what came of it, later and on another thread; must not wait
   */
  void acknowledge(String alertId, String by, Consumer<Seen> answer);

  /** The same for whoever looks for what came of it elsewhere. */
  default void acknowledge(String alertId, String by) {
    acknowledge(alertId, by, seen -> {});
  }

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
}
