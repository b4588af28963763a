package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Locale;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.Scan;

/**
 * CAN frames as an slcan adapter writes them: {@code tiiildd..} with an 11-bit identifier, {@code
 * Tiiiiiiiildd..} with a 29-bit one, each ended by a carriage return. Answers of the adapter
 * itself, remote frames and error bells are passed over. The code of a frame is its identifier,
 * extended ones with {@link #EXTENDED} added. Immutable.
 */
public final class CanLines implements Framing {

  /** Added to a 29-bit identifier, so that it differs from an 11-bit one of the same number. */
  public static final long EXTENDED = 1L << 32;

  private static final int LONGEST = 31;

  @Override
  public int longest() {
    return LONGEST;
  }

  @Override
  public int wireLength(long code, int dataLength) {
    return (code >= EXTENDED ? 10 : 5) + 2 * dataLength + 1;
  }

  @Override
  public Scan scan(byte[] buffer, int from, int to, Expectation expected, boolean silent) {
    byte kind = buffer[from];
    if (kind != 't' && kind != 'T') {
      return Scan.garbage(1);
    }
    int digits = kind == 'T' ? 8 : 3;
    int at = from + 1;
    while (at < to && at - from <= LONGEST && Character.digit(buffer[at], 16) >= 0) {
      at++;
    }
    if (at - from > LONGEST) {
      return Scan.garbage(1);
    }
    if (at == to) {
      return silent ? Scan.garbage(1) : Scan.need(1, true);
    }
    if (buffer[at] != '\r' || at - from < digits + 2) {
      return Scan.garbage(1);
    }
    String text = new String(buffer, from + 1, at - from - 1, StandardCharsets.US_ASCII);
    return frame(text, digits, at + 1 - from);
  }

  private static Scan frame(String text, int digits, int wire) {
    long id = Long.parseLong(text.substring(0, digits), 16);
    int length = Character.digit(text.charAt(digits), 16);
    String rest = text.substring(digits + 1);
    boolean stamped = rest.length() == 2 * length + 4;
    if (length > 8 || (rest.length() != 2 * length && !stamped)) {
      String detail =
          "says %s, has %s"
              .formatted(Spoken.counted(length, "byte"), Spoken.counted(rest.length(), "digit"));
      return Scan.broken(true, Refusal.Reason.LENGTH, digits + 1, detail);
    }
    byte[] data = HexFormat.of().parseHex(rest.substring(0, 2 * length));
    long code = digits == 8 ? id + EXTENDED : id;
    return Scan.frame(wire, new Frame(Frame.NONE, code, data, digits + 2, false));
  }

  @Override
  public byte[] build(long address, long code, byte[] data) {
    boolean extended = code >= EXTENDED;
    String id =
        extended
            ? String.format(Locale.ROOT, "T%08X", code - EXTENDED)
            : String.format(Locale.ROOT, "t%03X", code);
    String text = id + data.length + HexFormat.of().withUpperCase().formatHex(data) + "\r";
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  @Override
  public byte[] buildException(long address, long code, int reason) {
    return new byte[0];
  }
}
