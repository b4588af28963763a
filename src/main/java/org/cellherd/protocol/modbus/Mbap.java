package org.cellherd.protocol.modbus;

import java.util.Arrays;
import java.util.Optional;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.frame.Numbers;

/**
 * A message of Modbus TCP, kept as the frame that it is on a serial line (Modbus messaging on
 * TCP/IP implementation guide V1.0b, 3.1.3). Immutable.
 *
 * <pre>
 * transaction 2 | protocol 2, always 0 | length 2 | unit 1 | function and data      high byte first
 *                                                   unit 1 | function and data | CRC 2    the frame
 * </pre>
 */
public final class Mbap {
  private static final int HEADER = 6;

  /** Unit, and a function at least; the longest message of a serial line without its CRC. */
  private static final int LEAST = 2;

  private static final int MOST = 254;
  private static final Checksum CRC = Checksums.named("crc-16/modbus").orElseThrow();

  private final int transaction;
  private final byte[] frame;

  private Mbap(int transaction, byte[] frame) {
    this.transaction = transaction;
    this.frame = frame;
  }

  /** Tells to which question an answer belongs, 0 to 65535. */
  public int transaction() {
    return transaction;
  }

  /** The serial frame; not to be changed. */
  public byte[] frame() {
    return frame;
  }

  public int length() {
    return HEADER + frame.length - 2;
  }

  /** True when some bytes are one frame of Modbus RTU. */
  public static boolean isRtu(byte[] frame) {
    int end = frame.length - 2;
    return end >= LEAST
        && CRC.over(frame, 0, end) == ((frame[end] & 0xFF) | (frame[end + 1] & 0xFF) << 8);
  }

  /** True when a message may begin so. */
  public static boolean mayBegin(byte[] buffer, int length) {
    boolean isProtocol = zeroOrAbsent(buffer, 2, length) && zeroOrAbsent(buffer, 3, length);
    int stated = length < HEADER ? LEAST : (int) Numbers.unsigned(buffer, 4, 2, false);
    return isProtocol && stated >= LEAST && stated <= MOST;
  }

  private static boolean zeroOrAbsent(byte[] buffer, int at, int length) {
    return at >= length || buffer[at] == 0;
  }

  /** The message at the beginning of a buffer that {@link #mayBegin}, once it is whole. */
  public static Optional<Mbap> read(byte[] buffer, int length) {
    int stated = length < HEADER ? MOST : (int) Numbers.unsigned(buffer, 4, 2, false);
    if (length < HEADER + stated) {
      return Optional.empty();
    }
    byte[] frame = Arrays.copyOfRange(buffer, HEADER, HEADER + stated + 2);
    Numbers.put(frame, stated, 2, true, CRC.over(frame, 0, stated));
    int transaction = (int) Numbers.unsigned(buffer, 0, 2, false);
    return Optional.of(new Mbap(transaction, frame));
  }

  /** The bytes of a message from a serial frame. */
  public static byte[] message(int transaction, byte[] frame) {
    int length = frame.length - 2;
    byte[] message = new byte[HEADER + length];
    Numbers.put(message, 0, 2, false, transaction);
    Numbers.put(message, 4, 2, false, length);
    System.arraycopy(frame, 0, message, HEADER, length);
    return message;
  }
}
