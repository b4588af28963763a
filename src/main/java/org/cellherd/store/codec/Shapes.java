package org.cellherd.store.codec;

import java.util.Arrays;

/** Codes which slots of a row have values: nearly always those of the row before. */
final class Shapes {

  private static final int COUNT_BITS = 7;
  private static final int SAME = 0;
  private static final int COUNTS = 1;
  private static final int PRESENCE = COUNTS + 2 * COUNT_BITS;

  private final BitCoder coder;
  private final int base;
  private final SlotRow before;

  Shapes(BitCoder coder, SlotLayout layout, int base) {
    this.coder = coder;
    this.base = base;
    this.before = new SlotRow(layout.slots());
    before.cellCount = layout.cells();
    before.temperatureCount = layout.temperatures();
    Arrays.fill(before.present, true);
  }

  static int contexts(int slots) {
    return PRESENCE + 2 * slots;
  }

  /** Codes the shape; when reading, fills it in. */
  void code(SlotRow frame) {
    if (coder.code(base + SAME, frame.hasShapeOf(before) ? 1 : 0) != 0) {
      frame.takeShapeOf(before);
      return;
    }
    frame.cellCount = count(frame.cellCount, COUNTS);
    frame.temperatureCount = count(frame.temperatureCount, COUNTS + COUNT_BITS);
    for (int slot = 0; slot < frame.present.length; slot++) {
      int context = base + PRESENCE + 2 * slot + (before.present[slot] ? 1 : 0);
      frame.present[slot] = coder.code(context, frame.present[slot] ? 1 : 0) != 0;
    }
    before.takeShapeOf(frame);
  }

  private int count(int value, int contexts) {
    int result = 0;
    for (int bit = COUNT_BITS - 1; bit >= 0; bit--) {
      result = (result << 1) | coder.code(base + contexts + bit, (value >> bit) & 1);
    }
    return result;
  }
}
