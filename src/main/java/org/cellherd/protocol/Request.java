package org.cellherd.protocol;

import java.util.Arrays;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/** Bytes to send to a board: always a read request. Immutable. */
public final class Request {
  private final String label;
  private final byte[] bytes;

  /** A request with a label for messages and the bytes to send. */
  public Request(String label, byte[] bytes) {
    this.label = label;
    this.bytes = bytes.clone();
  }

  public String label() {
    return label;
  }

  public byte[] bytes() {
    return bytes.clone();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Request that
        && label.equals(that.label)
        && Arrays.equals(bytes, that.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }

  @Override
  public String toString() {
    return label + " " + HexFormat.of().formatHex(bytes);
  }
}
