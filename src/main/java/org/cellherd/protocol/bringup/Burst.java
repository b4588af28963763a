package org.cellherd.protocol.bringup;

import java.util.Arrays;

/** Bytes that came together, after a request or between two pauses. Immutable. */
final class Burst {
  private final byte[] request;
  private final byte[] bytes;

  Burst(byte[] request, byte[] bytes) {
    this.request = request;
    this.bytes = bytes;
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

  /** A part of this burst. */
  Burst part(int from, int to) {
    return new Burst(request, Arrays.copyOfRange(bytes, from, to));
  }
}
