package org.cellherd.protocol.frame;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;

/**
 * How the bytes between start and end of a frame are written on the wire: as they are, as two hex
 * digits each, or with escapes. Immutable.
 */
public final class Wire {

  /** Bytes as they are. */
  public static final Wire BINARY = new Wire(Form.BINARY, -1, Map.of());

  /** Two hex digits a byte, written in upper case. */
  public static final Wire HEX = new Wire(Form.HEX, -1, Map.of());

  private enum Form {
    BINARY,
    HEX,
    ESCAPED
  }

  private final Form form;
  private final int escape;
  private final Map<Integer, Integer> escaped;

  private Wire(Form form, int escape, Map<Integer, Integer> escaped) {
    this.form = form;
    this.escape = escape;
    this.escaped = Map.copyOf(escaped);
  }

  /**
   * Bytes with escapes.
   *
   * @param escape the byte that announces an escaped one
   * @param escaped for each byte that never stands bare: what follows the escape byte instead
   */
  public static Wire escaped(int escape, Map<Integer, Integer> escaped) {
    return new Wire(Form.ESCAPED, escape, escaped);
  }

  /** How bytes between start and end are written, in words; "" where they stand as they are. */
  public String described() {
    if (form == Form.BINARY) {
      return "";
    }
    if (form == Form.HEX) {
      return "each byte between start and end is written as two hex digits";
    }
    String pairs =
        new TreeMap<>(escaped)
            .entrySet().stream()
                .map(
                    e ->
                        String.format(
                            Locale.ROOT, "%02X as %02X %02X", e.getKey(), escape, e.getValue()))
                .collect(Collectors.joining(", "));
    return "between start and end " + pairs;
  }

  /** True when one byte may take two on the wire. */
  boolean isPlain() {
    return form == Form.BINARY;
  }

  /** Bytes on the wire of so many bytes, at least. */
  int least(int bytes) {
    return form == Form.HEX ? 2 * bytes : bytes;
  }

  /** Bytes on the wire of so many bytes, at most. */
  int most(int bytes) {
    return form == Form.BINARY ? bytes : 2 * bytes;
  }

  /** Why reading stopped. */
  enum Stop {
    RAN_OUT,
    END_MARK,
    INVALID
  }

  /** Bytes read from the wire, where each ends there, and why reading stopped. */
  static final class Unwrapped {
    private byte[] bytes;
    private int[] ends;
    private int count;
    private Stop stop = Stop.RAN_OUT;
    private final int begin;
    private int at;

    Unwrapped(int begin, int room) {
      this.begin = begin;
      this.at = begin;
      this.bytes = new byte[room];
      this.ends = new int[room];
    }

    private void add(int value, int end) {
      bytes[count] = (byte) value;
      ends[count++] = end;
      at = end;
    }

    byte[] bytes() {
      return bytes;
    }

    int count() {
      return count;
    }

    Stop stop() {
      return stop;
    }

    /** Place on the wire after so many bytes. */
    int wireAfter(int bytesRead) {
      return bytesRead == 0 ? begin : ends[bytesRead - 1];
    }
  }

  /** Reads at most {@code room} bytes; stops at an end mark unless it is empty. */
  Unwrapped unwrap(byte[] buffer, int from, int to, int room, Bytes endMark) {
    Unwrapped result = new Unwrapped(from, Math.min(room, Math.max(0, to - from)));
    while (result.count < result.bytes.length && result.at < to) {
      int at = result.at;
      int matched = endMark.matchAt(buffer, at, to);
      if (endMark.length() > 0 && matched == endMark.length()) {
        result.stop = Stop.END_MARK;
        return result;
      }
      if (matched > 0 && at + matched == to) {
        return result;
      }
      if (!step(result, buffer, to)) {
        return result;
      }
    }
    boolean marked =
        endMark.length() > 0 && endMark.matchAt(buffer, result.at, to) == endMark.length();
    result.stop = marked ? Stop.END_MARK : result.stop;
    return result;
  }

  /** Takes one byte from the wire; false when reading cannot go on. */
  private boolean step(Unwrapped result, byte[] buffer, int to) {
    int at = result.at;
    int first = buffer[at] & 0xFF;
    if (form == Form.BINARY) {
      result.add(first, at + 1);
      return true;
    }
    boolean pair = form == Form.HEX || first == escape;
    if (pair && at + 1 >= to) {
      return false;
    }
    int value = form == Form.HEX ? hex(first, buffer[at + 1] & 0xFF) : bare(first, buffer, at);
    if (value < 0) {
      result.stop = Stop.INVALID;
      return false;
    }
    result.add(value, pair ? at + 2 : at + 1);
    return true;
  }

  private int bare(int first, byte[] buffer, int at) {
    if (first != escape) {
      return escaped.containsKey(first) ? -1 : first;
    }
    int second = buffer[at + 1] & 0xFF;
    for (Map.Entry<Integer, Integer> entry : escaped.entrySet()) {
      if (entry.getValue() == second) {
        return entry.getKey();
      }
    }
    return -1;
  }

  private static int hex(int high, int low) {
    return Character.digit(high, 16) < 0 || Character.digit(low, 16) < 0
        ? -1
        : (Character.digit(high, 16) << 4) | Character.digit(low, 16);
  }

  /** The wire form of some bytes. */
  byte[] wrap(byte[] bytes, int from, int to) {
    if (form == Form.BINARY) {
      return Arrays.copyOfRange(bytes, from, to);
    }
    if (form == Form.HEX) {
      String text = HexFormat.of().withUpperCase().formatHex(bytes, from, to);
      return text.getBytes(StandardCharsets.US_ASCII);
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int i = from; i < to; i++) {
      int value = bytes[i] & 0xFF;
      Integer second = escaped.get(value);
      if (second == null) {
        out.write(value);
      } else {
        out.write(escape);
        out.write(second);
      }
    }
    return out.toByteArray();
  }
}
