package org.cellherd.board;

/**
 * A serial port as a person may choose it.
 *
 * @param stable path that stays the same when adapters are plugged anew; today's, such as {@code
 *     /dev/ttyUSB0}, where there is none
 * @param description what the adapter says of itself, may be empty
 */
public record PortName(String stable, String description) {}
