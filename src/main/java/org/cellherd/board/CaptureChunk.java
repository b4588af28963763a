package org.cellherd.board;

import java.util.Arrays;
import java.util.HexFormat;
import org.cellherd.json.JsonText;
import org.jspecify.annotations.Nullable;

/** Bytes that went over a line at one moment, in one direction. Immutable. */
public final class CaptureChunk {

  /** Which way bytes went. */
  public enum Direction {
    /** To the board. */
    TX("tx"),
    /** From the board. */
    RX("rx");

    private final String word;

    Direction(String word) {
      this.word = word;
    }

    /** The word in the file. */
    public String word() {
      return word;
    }
  }

  private final String link;
  private final long atMs;
  private final Direction direction;
  private final byte[] bytes;

  /** Bytes at a time in ms UTC, over a line that is not named. */
  public CaptureChunk(long atMs, Direction direction, byte[] bytes) {
    this("", atMs, direction, bytes);
  }

  /** Bytes at a time in ms UTC, over the line of a link. */
  public CaptureChunk(String link, long atMs, Direction direction, byte[] bytes) {
    this.link = link;
    this.atMs = atMs;
    this.direction = direction;
    this.bytes = bytes.clone();
  }

  /** Name of the link whose line it was, or "" where the capture does not say. */
  public String link() {
    return link;
  }

  /** When, ms UTC. */
  public long atMs() {
    return atMs;
  }

  /** True for bytes sent to the board. */
  public boolean isSent() {
    return direction == Direction.TX;
  }

  public byte[] bytes() {
    return bytes.clone();
  }

  /** The line of the file, without its line feed. */
  public String line() {
    return "{\"at_ms\":"
        + atMs
        + (link.isEmpty() ? "" : ",\"link\":" + JsonText.quoted(link))
        + ",\"dir\":\""
        + direction.word()
        + "\",\"hex\":\""
        + HexFormat.of().formatHex(bytes)
        + "\"}";
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof CaptureChunk that
        && link.equals(that.link)
        && atMs == that.atMs
        && direction == that.direction
        && Arrays.equals(bytes, that.bytes);
  }

  @Override
  public int hashCode() {
    return Long.hashCode(atMs) * 31 + Arrays.hashCode(bytes);
  }

  @Override
  public String toString() {
    return line();
  }
}
