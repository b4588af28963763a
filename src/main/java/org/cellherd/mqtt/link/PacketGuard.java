package org.cellherd.mqtt.link;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;

/**
 * Lets no packet through that is longer than any that we want: the client library would set aside
 * memory for whatever length a packet claims, up to 256 MB. Follows the fixed headers (MQTT 3.1.1,
 * section 2.2).
 *
 * <pre>
 * +--------+--------------------------------+-----------
 * | type   | remaining length, 1 to 4 bytes | that many
 * | flags  | 7 bits each, lowest first      | bytes
 * +--------+--------------------------------+-----------
 * </pre>
 */
final class PacketGuard extends FilterInputStream {

  /** Room for a topic and more payload than is ever looked at. */
  static final int LONGEST = 131_072;

  private static final int MOST_LENGTH_BYTES = 4;

  /** A packet is too long. */
  static final class TooLong extends IOException {
    private static final long serialVersionUID = 1L;

    TooLong() {
      super("it sent a packet longer than " + LONGEST + " bytes");
    }
  }

  private long left;
  private long length;
  private int lengthBytes = -1;

  PacketGuard(InputStream in) {
    super(in);
  }

  @Override
  public int read() throws IOException {
    int value = in.read();
    if (value >= 0) {
      pass(value);
    }
    return value;
  }

  @Override
  public int read(byte[] buffer, int offset, int most) throws IOException {
    int count = in.read(buffer, offset, most);
    int at = 0;
    while (at < count) {
      if (left > 0) {
        int skipped = (int) Math.min(left, count - at);
        left -= skipped;
        at += skipped;
      } else {
        pass(buffer[offset + at] & 0xFF);
        at++;
      }
    }
    return count;
  }

  private void pass(int value) throws TooLong {
    if (left > 0) {
      left--;
    } else if (lengthBytes < 0) {
      lengthBytes = 0;
      length = 0;
    } else {
      length |= (long) (value & 0x7F) << (7 * lengthBytes);
      lengthBytes++;
      if (length > LONGEST || lengthBytes > MOST_LENGTH_BYTES) {
        throw new TooLong();
      }
      if ((value & 0x80) == 0) {
        left = length;
        lengthBytes = -1;
      }
    }
  }
}
