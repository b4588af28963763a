package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.OptionalLong;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.frame.Bytes;

/**
 * All bytes of a captured line in the order of their times, kept close together: a long capture
 * holds a million pieces. One thread fills it, then it is only read.
 */
public final class Recording {

  /** So many bytes are kept, 64 MB: a day of a board at 9600 baud without a pause. */
  private static final int MOST_BYTES = 1 << 26;

  private byte[] bytes = new byte[1 << 12];
  private int[] ends = new int[1 << 8];
  private long[] times = new long[1 << 8];
  private boolean[] sent = new boolean[1 << 8];
  private int pieces;
  private boolean isAsked;

  /**
   * Adds bytes that passed at a time in ms; {@code toBoard} when they were sent to the board.
   *
   * @return false when it is full and they were not taken
   */
  public boolean add(long atMs, boolean toBoard, byte[] piece) {
    int end = size() + piece.length;
    if (end > MOST_BYTES || piece.length == 0) {
      return piece.length == 0;
    }
    if (end > bytes.length) {
      bytes = Arrays.copyOf(bytes, Math.min(MOST_BYTES, Math.max(end, bytes.length * 3 / 2)));
    }
    if (pieces == ends.length) {
      ends = Arrays.copyOf(ends, pieces * 3 / 2);
      times = Arrays.copyOf(times, pieces * 3 / 2);
      sent = Arrays.copyOf(sent, pieces * 3 / 2);
    }
    System.arraycopy(piece, 0, bytes, size(), piece.length);
    times[pieces] = atMs;
    sent[pieces] = toBoard;
    isAsked |= toBoard;
    ends[pieces++] = end;
    return true;
  }

  /** Takes the pieces of a recording. */
  @FunctionalInterface
  public interface Taker {
    /** Bytes that passed at a time in ms; false when no more are wanted. */
    boolean take(long atMs, boolean toBoard, byte[] bytes);
  }

  /** Hands over the pieces in their order. */
  public void replay(Taker taker) {
    for (int piece = 0; piece < pieces; piece++) {
      if (!taker.take(times[piece], sent[piece], copy(from(piece), to(piece)))) {
        return;
      }
    }
  }

  public int size() {
    return pieces == 0 ? 0 : ends[pieces - 1];
  }

  /** True when it holds nothing. */
  public boolean isEmpty() {
    return pieces == 0;
  }

  /**
   * The longest time from a request to the first byte that was not its echo, ms; empty where fewer
   * than so many were answered.
   */
  public OptionalLong longestAnswerMs(int least) {
    int answers = 0;
    long longest = 0;
    for (int asked = 0; asked < pieces; asked++) {
      int first = asked + 1;
      if (sent[asked] && first < pieces && !sent[first]) {
        boolean isEcho =
            holdsAt(from(first), to(first), asked)
                && to(first) - from(first) == to(asked) - from(asked);
        first += isEcho ? 1 : 0;
        if (first < pieces && !sent[first]) {
          longest = Math.max(longest, times[first] - times[asked]);
          answers++;
        }
      }
    }
    return answers < least ? OptionalLong.empty() : OptionalLong.of(longest);
  }

  /** True when it holds requests. */
  boolean isAsked() {
    return isAsked;
  }

  int pieces() {
    return pieces;
  }

  long atMs(int piece) {
    return times[piece];
  }

  int pieceAt(int place) {
    int found = Arrays.binarySearch(ends, 0, pieces, place + 1);
    return found < 0 ? -found - 1 : found;
  }

  boolean isToBoard(int piece) {
    return sent[piece];
  }

  /** Where a piece begins among all bytes. */
  int from(int piece) {
    return piece == 0 ? 0 : ends[piece - 1];
  }

  /** Where it ends. */
  int to(int piece) {
    return ends[piece];
  }

  byte[] copy(int from, int to) {
    return Arrays.copyOfRange(bytes, from, to);
  }

  /** True when the bytes at a place are those of a piece. */
  boolean holdsAt(int from, int to, int piece) {
    int length = to(piece) - from(piece);
    return to - from >= length
        && Arrays.equals(bytes, from, from + length, bytes, from(piece), to(piece));
  }

  @Override
  public String toString() {
    return Spoken.counted(pieces, "piece") + ", " + Bytes.hex(copy(0, Math.min(size(), 64)), 64);
  }
}
