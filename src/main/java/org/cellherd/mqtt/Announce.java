package org.cellherd.mqtt;

import org.cellherd.pack.Worded;

/**
 * One {@code [[mqtt.announce]]} table: templates of a topic and a payload with placeholders such as
 * {@code ${pack.id}}.
 *
 * @param topic template of a full topic
 * @param payload template of a payload, JSON or any text
 * @param per how often it is rendered
 * @param retained whether the broker keeps it
 */
public record Announce(String topic, String payload, Per per, boolean retained) {

  /** How often a template is rendered. */
  public enum Per implements Worded {
    /** Once. */
    SITE,
    /** Once for each pack. */
    PACK,
    /** Once for each cell of each pack. */
    CELL,
    /** Once for each value that a dashboard may show of each pack, with its unit. */
    VALUE
  }
}
