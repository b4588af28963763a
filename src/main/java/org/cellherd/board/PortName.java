package org.cellherd.board;

/**
 * A serial port as a person may choose it.
 *
 * @param stable path that stays the same when adapters are plugged anew; the device where there is
 *     none
 * @param device path of today, such as {@code /dev/ttyUSB0}
 * @param description what the adapter says of itself, may be empty
 */
public record PortName(String stable, String device, String description) {}
