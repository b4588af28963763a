package org.cellherd.store.codec;

import org.cellherd.pack.Reading;

/** Hands out the readings of a block one by one. Belongs to one thread. */
public final class BlockReader {
  private final long startMs;
  private final BlockHeader header;
  private final BitReader bits;
  private final RowCoder rows;
  private final SlotRow frame;
  private final Readout readout;
  private int done;

  /**
   * Opens a block whose first reading is at {@code startMs}.
   *
   * @throws BlockDamaged when the bytes do not begin like a block
   */
  public BlockReader(PackedBytes block, long startMs) throws BlockDamaged {
    this.startMs = startMs;
    this.header = BlockHeader.of(block.bytes());
    SlotLayout layout = header.layout();
    this.bits = new BitReader(block.bytes(), header.length(), RowCoder.contexts(layout));
    this.rows = new RowCoder(bits, layout, header.divisors());
    this.frame = new SlotRow(layout.slots());
    this.readout = new Readout(layout);
  }

  public int count() {
    return header.count();
  }

  /** True when there is another reading. */
  public boolean hasNext() {
    return done < header.count();
  }

  /**
   * The next reading.
   *
   * @throws BlockDamaged when the bytes make no sense or end too early
   */
  public Reading next() throws BlockDamaged {
    rows.code(frame);
    if (bits.isExhausted()) {
      throw new BlockDamaged("block ends in reading " + (done + 1) + " of " + header.count());
    }
    done++;
    return readout.reading(frame, startMs);
  }
}
