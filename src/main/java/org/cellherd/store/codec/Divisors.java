package org.cellherd.store.codec;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.SlotLayout.Group;

/**
 * What all values of a group can be divided by without a rest: boards print whole millivolts or
 * tenths of an ampere. For times, which differ from a regular beat, it is the divisor of what they
 * differ by.
 */
final class Divisors {
  /** To restore into. */
  static final Divisors NONE = new Divisors(0, new long[Group.COUNT]);

  private final long period;
  private final long[] ofGroup;

  private Divisors(long period, long[] ofGroup) {
    this.period = period;
    this.ofGroup = ofGroup;
  }

  /** The greatest divisors of some readings. */
  static Divisors of(List<Reading> readings, SlotLayout layout) {
    Group[] groups = layout.groups();
    long[] divisors = new long[Group.COUNT];
    SlotRow frame = new SlotRow(groups.length);
    long[] beats = new long[readings.size()];
    for (int i = 0; i < beats.length; i++) {
      layout.fill(frame, readings.get(i));
      for (int slot = 0; slot < groups.length; slot++) {
        int group = groups[slot].index;
        divisors[group] = common(divisors[group], frame.values[slot]);
      }
      beats[i] = i == 0 ? 0 : frame.time - readings.get(i - 1).timeMs();
      divisors[Group.TIME.index] = common(divisors[Group.TIME.index], beats[i]);
    }
    Arrays.sort(beats);
    for (int group = 0; group < divisors.length; group++) {
      divisors[group] = Math.max(1, divisors[group]);
    }
    return new Divisors(beats[beats.length / 2], divisors);
  }

  private static long common(long a, long b) {
    if (a == 1) {
      return 1;
    }
    long x = Math.abs(b);
    long y = a;
    if (x == Long.MIN_VALUE) {
      return 1;
    }
    while (y != 0) {
      long rest = x % y;
      x = y;
      y = rest;
    }
    return x;
  }

  /** The usual time between two readings, ms. */
  long period() {
    return period;
  }

  /** The divisor of a group, 1 or more. */
  long of(Group group) {
    return ofGroup[group.index];
  }

  Divisors state(State io) {
    long savedPeriod = io.number(period);
    long[] saved = ofGroup.clone();
    for (int group = 0; group < saved.length; group++) {
      saved[group] = io.within(saved[group], 1, Long.MAX_VALUE);
    }
    return new Divisors(savedPeriod, saved);
  }
}
