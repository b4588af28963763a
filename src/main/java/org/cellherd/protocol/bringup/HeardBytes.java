package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/** Bytes that passed over a line at one moment. Immutable. */
public final class HeardBytes {
  private final long atMs;
  private final boolean toBoard;
  private final byte[] bytes;

  /** Bytes at a time in ms; {@code toBoard} when they were sent to the board. */
  public HeardBytes(long atMs, boolean toBoard, byte[] bytes) {
    this.atMs = atMs;
    this.toBoard = toBoard;
    this.bytes = bytes.clone();
  }

  long atMs() {
    return atMs;
  }

  boolean isToBoard() {
    return toBoard;
  }

  byte[] bytes() {
    return bytes.clone();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof HeardBytes that
        && atMs == that.atMs
        && toBoard == that.toBoard
        && Arrays.equals(bytes, that.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }

  @Override
  public String toString() {
    return atMs + (toBoard ? " to board " : " from board ") + HexFormat.of().formatHex(bytes);
  }
}
