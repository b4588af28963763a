package org.cellherd.protocol.spec;

import java.util.List;

/**
 * A test of another field of the same message.
 *
 * @param field its name
 * @param bit a bit that must be set, or -1
 * @param equals values of which it must have one; empty when the bit decides
 */
record Condition(String field, int bit, List<Long> equals) {

  /** True when a raw value passes. */
  public boolean holds(long raw) {
    return bit >= 0 ? (raw >>> bit & 1) == 1 : equals.contains(raw);
  }
}
