package org.cellherd.store.codec;

/** One channel of bits: nearly always as before, or as before the latest change. */
final class BitsSlot {
  private final BitCoder coder;
  private final Residuals residuals;
  private final int context;
  private long last;
  private long other;

  BitsSlot(BitCoder coder, Residuals residuals, int context) {
    this.coder = coder;
    this.residuals = residuals;
    this.context = context;
  }

  /** Contexts of one slot. */
  static final int CONTEXTS = 2;

  /** Codes the next value; the given one is ignored when reading. */
  long code(long value) {
    if (coder.code(context, value == last ? 1 : 0) != 0) {
      return last;
    }
    long next = other;
    if (coder.code(context + 1, value == other ? 1 : 0) == 0) {
      next = last ^ residuals.first(value ^ last);
    }
    other = last;
    last = next;
    return next;
  }
}
