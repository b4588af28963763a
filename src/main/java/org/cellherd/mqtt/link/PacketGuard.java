package org.cellherd.mqtt.link;

import java.io.BufferedInputStream;
import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;

/**
 * Bounds what a packet costs: the client library would set aside memory for whatever length a
 * packet claims, up to 256 MB. A message that is too long loses its end here, which is read and
 * thrown away, so that the line goes on; anything else that is too long ends it. Follows the fixed
 * headers (MQTT 3.1.1, section 2.2).
 *
 * <pre>
 * +--------+--------------------------------+-----------
 * | type   | remaining length, 1 to 4 bytes | that many
 * | flags  | 7 bits each, lowest first      | bytes
 * +--------+--------------------------------+-----------
 * </pre>
 */
final class PacketGuard extends FilterInputStream {

  /** Longest packet: longest topic, packet id, and a byte of payload more than is looked at. */
  static final int LONGEST = 2 + 65_535 + 2 + Inbound.LONGEST + 1;

  /**
   * Longest message whose end is thrown away: what comes behind it waits meanwhile, on a slow line
   * of 1 MB/s for 4 s. Nobody sends such a thing by mistake.
   */
  static final int LONGEST_CUT = 4 << 20;

  private static final int BUFFER = 16_384;
  private static final int PUBLISH = 3;
  private static final int MOST_LENGTH_BYTES = 4;

  static final class TooLong extends IOException {
    private static final long serialVersionUID = 1L;

    TooLong() {
      super("it sent a message longer than " + (LONGEST_CUT >> 20) + " MiB, or no MQTT");
    }
  }

  /** Bytes of a fixed header as they are handed on. */
  private final ByteBuffer header = ByteBuffer.allocate(1 + MOST_LENGTH_BYTES).limit(0);

  private final byte[] waste = new byte[4_096];
  private int type = -1;
  private long length;
  private int lengthBytes;
  private long pass;
  private long skip;

  PacketGuard(InputStream in) {
    super(in);
  }

  /** The same over a buffer: else each byte of a header is asked of the system by itself. */
  static PacketGuard buffered(InputStream in) {
    return new PacketGuard(new BufferedInputStream(in, BUFFER));
  }

  @Override
  public int read() throws IOException {
    byte[] one = new byte[1];
    int count = read(one, 0, 1);
    return count < 0 ? -1 : one[0] & 0xFF;
  }

  @Override
  public int read(byte[] buffer, int offset, int most) throws IOException {
    if (most == 0) {
      return 0;
    }
    while (true) {
      if (header.hasRemaining()) {
        int count = Math.min(most, header.remaining());
        header.get(buffer, offset, count);
        return count;
      }
      if (pass > 0) {
        int count = in.read(buffer, offset, (int) Math.min(most, pass));
        pass -= Math.max(0, count);
        return count;
      }
      int count = skip > 0 ? in.read(waste, 0, (int) Math.min(waste.length, skip)) : in.read();
      if (count < 0) {
        return -1;
      }
      if (skip > 0) {
        skip -= count;
      } else {
        headerByte(count);
      }
    }
  }

  private void headerByte(int value) throws TooLong {
    if (type < 0) {
      type = value;
      length = 0;
      lengthBytes = 0;
      return;
    }
    length |= (long) (value & 0x7F) << (7 * lengthBytes);
    lengthBytes++;
    boolean cut = type >> 4 == PUBLISH && length <= LONGEST_CUT;
    if ((length > LONGEST && !cut) || lengthBytes > MOST_LENGTH_BYTES) {
      throw new TooLong();
    }
    if ((value & 0x80) == 0) {
      pass = Math.min(length, LONGEST);
      skip = length - pass;
      writeHeader();
      type = -1;
    }
  }

  private void writeHeader() {
    header.clear();
    header.put((byte) type);
    long left = pass;
    do {
      header.put((byte) ((left & 0x7F) | (left > 0x7F ? 0x80 : 0)));
      left >>= 7;
    } while (left > 0);
    header.flip();
  }
}
