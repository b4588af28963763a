package org.cellherd.protocol.frame;

import java.util.Arrays;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** A string of bytes that does not change. */
public final class Bytes {

  public static final Bytes NONE = new Bytes(new byte[0]);

  private final byte[] bytes;

  private Bytes(byte[] bytes) {
    this.bytes = bytes;
  }

  public static Bytes of(byte... bytes) {
    return new Bytes(bytes.clone());
  }

  /** The bytes of a hex text; blanks between digits are skipped; empty when it is none. */
  public static Optional<Bytes> ofHex(String hex) {
    String digits = hex.replaceAll("\\s", "");
    if (digits.length() % 2 != 0 || !digits.matches("[0-9A-Fa-f]*")) {
      return Optional.empty();
    }
    return Optional.of(new Bytes(HexFormat.of().parseHex(digits)));
  }

  public int length() {
    return bytes.length;
  }

  /** The byte at an index from 0, as 0 to 255. */
  public int at(int index) {
    return bytes[index] & 0xFF;
  }

  public byte[] array() {
    return bytes.clone();
  }

  /** How many of these bytes stand at a place of a buffer, counted until the first that differs. */
  int matchAt(byte[] buffer, int from, int to) {
    int n = 0;
    while (n < bytes.length && from + n < to && buffer[from + n] == bytes[n]) {
      n++;
    }
    return n;
  }

  /** Hex text of some bytes, upper case with blanks, cut after {@code most} bytes. */
  public static String hex(byte[] bytes, int most) {
    byte[] shown = bytes.length <= most ? bytes : Arrays.copyOf(bytes, most);
    String text = HexFormat.ofDelimiter(" ").withUpperCase().formatHex(shown);
    return bytes.length <= most ? text : text + " ...";
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Bytes that && Arrays.equals(bytes, that.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }

  /** Hex text, upper case with blanks. */
  @Override
  public String toString() {
    return HexFormat.ofDelimiter(" ").withUpperCase().formatHex(bytes).toUpperCase(Locale.ROOT);
  }
}
