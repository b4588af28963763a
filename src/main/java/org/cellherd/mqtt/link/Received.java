package org.cellherd.mqtt.link;

/**
 * A message that came in.
 *
 * @param topic full topic
 * @param text payload; "" when it was too long to be looked at
 * @param retained true when the broker had kept it
 * @param whole false when it was longer than {@link Inbound#LONGEST} bytes and was thrown away
 */
public record Received(String topic, String text, boolean retained, boolean whole) {}
