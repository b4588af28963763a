package org.cellherd.protocol.spec;

import java.util.List;
import java.util.OptionalInt;

/**
 * A field that tells the direction of a current whose own number is only its size.
 *
 * @param field its name
 * @param charging its values while charging
 * @param discharging its values while discharging
 * @param idle its values while the current is 0
 */
record Direction(String field, List<Long> charging, List<Long> discharging, List<Long> idle) {

  /** 1 charging, -1 discharging, 0 idle, empty when the value is none of these. */
  public OptionalInt sign(long raw) {
    if (charging.contains(raw)) {
      return OptionalInt.of(1);
    }
    if (discharging.contains(raw)) {
      return OptionalInt.of(-1);
    }
    return idle.contains(raw) ? OptionalInt.of(0) : OptionalInt.empty();
  }

  /** The field's value for a current. */
  public long valueFor(long current) {
    if (current < 0 && !discharging.isEmpty()) {
      return discharging.get(0);
    }
    return current == 0 && !idle.isEmpty() ? idle.get(0) : charging.get(0);
  }
}
