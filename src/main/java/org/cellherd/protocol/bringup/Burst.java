package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.function.IntToLongFunction;

/** Bytes that came together, after a request or between two pauses. Immutable. */
final class Burst {
  private final IntToLongFunction atMs;
  private final byte[] request;
  private final byte[] bytes;

  Burst(long atMs, byte[] request, byte[] bytes) {
    this(at -> atMs, request, bytes);
  }

  /** {@code atMs} tells when each byte came. */
  Burst(IntToLongFunction atMs, byte[] request, byte[] bytes) {
    this.atMs = atMs;
    this.request = request;
    this.bytes = bytes;
  }

  /** When its first byte came, ms. */
  long atMs() {
    return atMs(0);
  }

  /** When a byte came, ms. */
  long atMs(int index) {
    return atMs.applyAsLong(index);
  }

  /** What was asked, empty when the board spoke by itself; not to be changed. */
  byte[] request() {
    return request;
  }

  /** What came; not to be changed. */
  byte[] bytes() {
    return bytes;
  }

  int length() {
    return bytes.length;
  }

  Burst part(int from, int to) {
    return new Burst(at -> atMs(from + at), request, Arrays.copyOfRange(bytes, from, to));
  }
}
