package org.cellherd.alert;

/** Takes an acknowledgement from wherever a person gave it: command line, page or MQTT. */
@FunctionalInterface
public interface Acknowledger {

  /**
   * Notes that somebody has seen an alert. Unknown ids are ignored. Any thread.
   *
   * @param alertId the alert's id
   * @param by who, as given; at most 80 characters are kept
   */
  void acknowledge(String alertId, String by);
}
