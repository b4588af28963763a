package org.cellherd.mqtt.link;

import java.nio.charset.StandardCharsets;

/**
 * One message, QoS 1.
 *
 * @param topic full topic
 * @param text payload; an empty retained one deletes what the broker keeps under the topic
 * @param retained true when the broker keeps it, or (received) had kept it
 */
public record Publication(String topic, String text, boolean retained) {

  byte[] payload() {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
