package org.cellherd.store.codec;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.pack.Reading;

/**
 * Packs readings into a block and back, bit for bit.
 *
 * <pre>
 * header  zigzag varints: format, readings, highest cell, highest sensor, kinds (one bit each),
 *         usual period in ms, divisors of time, current, cells, pack, temperatures, slow, bits
 * rows    one range-coded number: for each reading its shape, time and values
 * </pre>
 *
 * <p>Each channel is foreseen from its own past, from the step of the current and from what the
 * other cells just did; only what the forecast missed is coded, with probabilities learnt on the
 * way. A block needs nothing outside itself but the time of its first reading.
 */
public final class BlockCodec {

  /** Most readings of one block. */
  public static final int MAX_READINGS = 1 << 14;

  /** First number of every block. */
  static final int FORMAT = 1;

  private BlockCodec() {}

  /**
   * The block of some readings, times relative to the first.
   *
   * @throws IllegalArgumentException when there are none or more than {@link #MAX_READINGS}
   */
  public static PackedBytes encode(List<Reading> readings) {
    if (readings.isEmpty() || readings.size() > MAX_READINGS) {
      throw new IllegalArgumentException("a block of " + readings.size() + " readings");
    }
    SlotLayout layout = SlotLayout.of(readings);
    Divisors divisors = Divisors.of(readings, layout);
    BitWriter bits = new BitWriter(RowCoder.contexts(layout));
    RowCoder rows = new RowCoder(bits, layout, divisors);
    SlotRow frame = new SlotRow(layout.slots());
    long startMs = readings.get(0).timeMs();
    for (Reading reading : readings) {
      layout.fill(frame, reading);
      frame.time -= startMs;
      rows.code(frame);
    }
    byte[] header = new BlockHeader(readings.size(), layout, divisors).bytes();
    byte[] body = bits.finish();
    byte[] block = Arrays.copyOf(header, header.length + body.length);
    System.arraycopy(body, 0, block, header.length, body.length);
    return new PackedBytes(block);
  }

  /** All readings of a block whose first reading is at {@code startMs}. */
  public static List<Reading> decode(PackedBytes block, long startMs) throws BlockDamaged {
    BlockReader reader = new BlockReader(block, startMs);
    List<Reading> readings = new ArrayList<>(reader.count());
    while (reader.hasNext()) {
      readings.add(reader.next());
    }
    return readings;
  }

  /** How many readings a block claims to hold; 0 where it makes no sense. */
  public static int count(PackedBytes block) {
    try {
      return new BlockReader(block, 0).count();
    } catch (BlockDamaged e) {
      return 0;
    }
  }
}
