package org.cellherd.protocol.frame;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/** What a check value may be taken over: one frame, written or read. Immutable. */
final class Covered {
  private final byte[] bytes;
  private final int dataLength;
  private final long address;
  private final byte @Nullable [] buffer;
  private final Wire.@Nullable Unwrapped read;

  private Covered(
      byte[] bytes,
      int dataLength,
      long address,
      byte @Nullable [] buffer,
      Wire.@Nullable Unwrapped read) {
    this.bytes = bytes;
    this.dataLength = dataLength;
    this.address = address;
    this.buffer = buffer;
    this.read = read;
  }

  /** The parts between start and end of a frame that is being written. */
  static Covered written(byte[] bytes, int dataLength, long address) {
    return new Covered(bytes, dataLength, address, null, null);
  }

  /** A frame that was read from the wire. */
  static Covered read(byte[] buffer, Wire.Unwrapped read, int dataLength, long address) {
    return new Covered(read.bytes(), dataLength, address, buffer, read);
  }

  int dataLength() {
    return dataLength;
  }

  /** Whose frame it is, or {@link Frame#NONE}. */
  long address() {
    return address;
  }

  byte[] bytes(int at, int size) {
    return Arrays.copyOfRange(bytes, at, at + size);
  }

  /** The wire's own characters, or those that this program would write. */
  byte[] characters(Wire wire, int at, int size) {
    if (buffer == null || read == null) {
      return wire.wrap(bytes, at, at + size);
    }
    return Arrays.copyOfRange(buffer, read.wireAfter(at), read.wireAfter(at + size));
  }
}
