package org.cellherd.mqtt.link;

/**
 * A message that came in.
 *
 * @param topic full topic
 * @param text payload; "" when it was too long to be looked at, and with U+FFFD where it is no text
 * @param retained true when the broker had kept it
 * @param payload what kind of bytes came
 */
public record Received(String topic, String text, boolean retained, Payload payload) {

  /** What kind of bytes came. */
  public enum Payload {
    /** UTF-8. */
    TEXT,
    /** Something else. */
    NO_TEXT,
    /** Longer than {@link Inbound#LONGEST} bytes, thrown away. */
    TOO_LONG
  }
}
