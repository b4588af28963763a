package org.cellherd.store.codec;

import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;

/** What stands before the coded rows of a block. */
final class BlockHeader {
  private int count;
  private SlotLayout layout;
  private Divisors divisors;
  private int length;

  BlockHeader(int count, SlotLayout layout, Divisors divisors) {
    this.count = count;
    this.layout = layout;
    this.divisors = divisors;
  }

  /**
   * The header of a block.
   *
   * @throws BlockDamaged when the bytes do not begin like a block
   */
  static BlockHeader of(byte[] block) throws BlockDamaged {
    BlockHeader header = new BlockHeader(1, new SlotLayout(0, 0, 0), Divisors.NONE);
    try {
      header.length = SavedState.ofBytes(block).beginInto(header::state);
    } catch (StateMismatch e) {
      throw new BlockDamaged("no header of a block: " + e.getMessage());
    }
    return header;
  }

  byte[] bytes() {
    return SavedState.of(this::state).bytes();
  }

  private void state(State io) {
    int format = io.number(BlockCodec.FORMAT);
    if (format != BlockCodec.FORMAT) {
      throw new StateMismatch("block format " + format + " is not known");
    }
    count = io.within(count, 1, BlockCodec.MAX_READINGS);
    layout = layout.state(io);
    divisors = divisors.state(io);
  }

  int count() {
    return count;
  }

  SlotLayout layout() {
    return layout;
  }

  Divisors divisors() {
    return divisors;
  }

  int length() {
    return length;
  }
}
