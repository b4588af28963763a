package org.cellherd.board;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Boards of {@link TinyDialogue}'s kind behind a loopback, with mishaps on demand. */
final class TinyWire implements FarSide {
  final List<Integer> addresses;
  boolean isPlugged = true;
  boolean isMute;
  boolean hasEcho;
  int corruptNext;
  int strangerNext;
  long delayNanos = 5_000_000L;
  int[] cells = {3300, 3301, 3302, 3303};
  final List<byte[]> sent = new ArrayList<>();

  TinyWire(Integer... addresses) {
    this.addresses = List.of(addresses);
  }

  @Override
  public byte[] exchange(byte[] bytes) {
    sent.add(bytes);
    byte[] echo = hasEcho ? bytes : new byte[0];
    if (isMute || bytes.length != 2 || !addresses.contains((int) bytes[1])) {
      return echo;
    }
    byte[] answer = TinyDialogue.answer(bytes[1], cells);
    if (corruptNext > 0) {
      corruptNext--;
      answer[4] ^= 0x10;
    }
    if (strangerNext > 0) {
      strangerNext--;
      answer = concat(TinyDialogue.answer(99, 1, 2), answer);
    }
    return concat(echo, answer);
  }

  static byte[] concat(byte[] a, byte[] b) {
    byte[] both = Arrays.copyOf(a, a.length + b.length);
    System.arraycopy(b, 0, both, a.length, b.length);
    return both;
  }

  @Override
  public long delayNanos() {
    return delayNanos;
  }

  @Override
  public boolean isPlugged() {
    return isPlugged;
  }
}
