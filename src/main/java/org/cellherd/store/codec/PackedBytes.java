package org.cellherd.store.codec;

import java.util.Arrays;

/** Bytes of a block. They are handed over, not copied: whoever made them must not change them. */
public final class PackedBytes {
  private final byte[] bytes;

  public PackedBytes(byte[] bytes) {
    this.bytes = bytes;
  }

  public byte[] bytes() {
    return bytes;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof PackedBytes that && Arrays.equals(bytes, that.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }
}
