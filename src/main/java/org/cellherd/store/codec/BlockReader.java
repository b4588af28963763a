package org.cellherd.store.codec;

import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Reading;

/** Hands out the readings of a block one by one. Belongs to one thread. */
public final class BlockReader {
  private final long startMs;
  private final Header header;
  private final BitReader bits;
  private final RowCoder rows;
  private final Frame frame;
  private final Readout readout;
  private int done;

  /**
   * What stands before the coded rows.
   *
   * @param count readings
   * @param bytes length of the header itself
   */
  private record Header(int count, Layout layout, Divisors divisors, int bytes) {}

  /**
   * Opens a block whose first reading is at {@code startMs}.
   *
   * @throws BlockDamaged when the bytes do not begin like a block
   */
  public BlockReader(Packed block, long startMs) throws BlockDamaged {
    this.startMs = startMs;
    this.header = header(block.bytes());
    Layout layout = header.layout();
    this.bits = new BitReader(block.bytes(), header.bytes(), RowCoder.contexts(layout));
    this.rows = new RowCoder(bits, layout, header.divisors());
    this.frame = new Frame(layout.slots());
    this.readout = new Readout(layout);
  }

  private static Header header(byte[] bytes) throws BlockDamaged {
    try {
      StateReader in = new StateReader(bytes);
      long format = in.getLong();
      if (format != BlockCodec.FORMAT) {
        throw new BlockDamaged("block format " + format + " is not known");
      }
      int count = in.getInt();
      if (count < 1 || count > BlockCodec.MAX_READINGS) {
        throw new BlockDamaged("block of " + count + " readings");
      }
      Layout layout = new Layout(in.getInt(), in.getInt(), in.getInt());
      if (!layout.isPossible()) {
        throw new BlockDamaged("no reading has " + layout);
      }
      return new Header(count, layout, Divisors.read(in), in.position());
    } catch (StateMismatch e) {
      throw new BlockDamaged("block ends in its header: " + e.getMessage());
    }
  }

  /** Writes what {@link #header} reads. */
  static byte[] header(int count, Layout layout, Divisors divisors) {
    StateWriter out = new StateWriter();
    out.putLong(BlockCodec.FORMAT).putLong(count);
    out.putLong(layout.cells()).putLong(layout.temperatures()).putLong(layout.kinds());
    divisors.write(out);
    return out.toBytes();
  }

  /** How many readings the block holds. */
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
