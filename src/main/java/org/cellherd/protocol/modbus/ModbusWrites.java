package org.cellherd.protocol.modbus;

import java.util.Optional;
import java.util.Set;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.checksum.Sum;

/**
 * Tells a request that changes something in a Modbus device, whoever made it. No part of the
 * program makes one; but the bytes of a request may be stated in a description file, so that the
 * last step before the line looks, too.
 */
public final class ModbusWrites {

  /**
   * Functions that change a device's state: write coil, register, coils, registers, file record,
   * mask, write and read; diagnostics, which can restart a port (Modbus application protocol
   * V1.1b3, 6).
   */
  private static final Set<Integer> WRITING = Set.of(5, 6, 8, 15, 16, 21, 22, 23);

  private static final Checksum CRC = Checksums.named("crc-16/modbus").orElseThrow();
  private static final int SHORTEST = 4;

  private ModbusWrites() {}

  /** True when a device on the line would take these bytes for a writing request. */
  public static boolean isOne(byte[] request) {
    return isWritingRtu(request) || ascii(request).filter(ModbusWrites::isWritingAscii).isPresent();
  }

  private static boolean isWritingRtu(byte[] frame) {
    if (frame.length < SHORTEST || !WRITING.contains(frame[1] & 0xFF)) {
      return false;
    }
    int end = frame.length - 2;
    int stated = (frame[end] & 0xFF) | (frame[end + 1] & 0xFF) << 8;
    return CRC.over(frame, 0, end) == stated;
  }

  private static boolean isWritingAscii(byte[] frame) {
    int end = frame.length - 1;
    return frame.length >= SHORTEST - 1
        && WRITING.contains(frame[1] & 0xFF)
        && Sum.SUM8_TWOS.over(frame, 0, end) == (frame[end] & 0xFF);
  }

  /** The bytes that hex digits between a colon and a line end stand for. */
  private static Optional<byte[]> ascii(byte[] line) {
    int end = line.length;
    while (end > 0 && (line[end - 1] == '\r' || line[end - 1] == '\n')) {
      end--;
    }
    if (end < 1 || line[0] != ':' || end % 2 == 0) {
      return Optional.empty();
    }
    byte[] bytes = new byte[end / 2];
    for (int i = 0; i < bytes.length; i++) {
      int high = Character.digit(line[1 + 2 * i], 16);
      int low = Character.digit(line[2 + 2 * i], 16);
      if (high < 0 || low < 0) {
        return Optional.empty();
      }
      bytes[i] = (byte) (high << 4 | low);
    }
    return Optional.of(bytes);
  }
}
