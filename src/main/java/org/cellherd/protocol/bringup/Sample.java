package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * One message as it was cut out: the bytes on the wire, and what they mean where hex digits stand
 * for bytes. Immutable; arrays are not to be changed.
 */
final class Sample {
  private static final long PAUSE_MS = 5;

  private final Burst burst;
  private final byte[] request;
  private final byte[] wire;
  private final byte[] bytes;
  private final HexLine hexLine;
  private final Optional<Escape> escape;

  private Sample(Burst burst, byte[] request, byte[] bytes, HexLine hexLine) {
    this(burst, request, bytes, hexLine, Optional.empty());
  }

  private Sample(
      Burst burst, byte[] request, byte[] bytes, HexLine hexLine, Optional<Escape> escape) {
    this.burst = burst;
    this.request = request;
    this.wire = burst.bytes();
    this.bytes = bytes;
    this.hexLine = hexLine;
    this.escape = escape;
  }

  static Sample binary(Burst burst) {
    return new Sample(burst, burst.request(), burst.bytes(), HexLine.NONE);
  }

  /** A line of hex digits between a start and an end mark; empty when it is none. */
  static Optional<Sample> hex(Burst burst, HexLine line) {
    return line.decode(burst.bytes()).map(b -> new Sample(burst, burst.request(), b, line));
  }

  /** A message between two marks; empty when it holds an unknown escape. */
  static Optional<Sample> escaped(Burst burst, Escape escape) {
    return escape
        .decode(burst.bytes())
        .map(b -> new Sample(burst, burst.request(), b, HexLine.NONE, Optional.of(escape)));
  }

  /** The same message as the answer to a request that was heard before it. */
  Sample answering(byte[] asked) {
    return new Sample(new Burst(burst::atMs, asked, wire), asked, bytes, hexLine, escape);
  }

  Sample joined(Sample next) {
    byte[] both = Arrays.copyOf(wire, wire.length + next.wire.length);
    System.arraycopy(next.wire, 0, both, wire.length, next.wire.length);
    return binary(new Burst(burst::atMs, request, both));
  }

  Sample front(int length) {
    return binary(new Burst(burst::atMs, request, Arrays.copyOf(wire, length)));
  }

  /** When it came, ms. */
  long atMs() {
    return burst.atMs();
  }

  /** True when some time passed before a byte: more than a computer takes to hand pieces on. */
  boolean pausesAt(int at) {
    return burst.atMs(at) - burst.atMs(at - 1) >= PAUSE_MS;
  }

  byte[] request() {
    return request;
  }

  byte[] wire() {
    return wire;
  }

  /** The message's bytes; of a hex line those between its marks. */
  byte[] bytes() {
    return bytes;
  }

  int length() {
    return bytes.length;
  }

  int at(int index) {
    return bytes[index] & 0xFF;
  }

  /** The characters on the wire that stand for some bytes. */
  byte[] characters(int from, int to) {
    return Arrays.copyOfRange(wire, onWire(from), onWire(to));
  }

  private int onWire(int index) {
    if (!hexLine.equals(HexLine.NONE)) {
      return hexLine.startBytes() + 2 * index;
    }
    int end = wire.length - 1 - escape.map(Escape::behind).orElse(0);
    int mark = escape.map(Escape::mark).orElse(-1);
    int at = 0;
    for (int i = 0; i < index; i++) {
      boolean isEscaped = at > 0 && at < end && (wire[at] & 0xFF) == mark;
      at += isEscaped ? 2 : 1;
    }
    return at;
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Sample that && Arrays.equals(wire, that.wire);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(wire);
  }

  @Override
  public String toString() {
    return org.cellherd.protocol.frame.Bytes.hex(wire, 64);
  }
}
