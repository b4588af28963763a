package org.cellherd.store.codec;

/** The bytes are not a block of readings. */
public final class BlockDamaged extends Exception {
  public BlockDamaged(String message) {
    super(message);
  }
}
