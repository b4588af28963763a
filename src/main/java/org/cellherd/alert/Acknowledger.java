package org.cellherd.alert;

import java.util.function.Consumer;

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
}
