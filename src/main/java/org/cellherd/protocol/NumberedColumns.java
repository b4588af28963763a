package org.cellherd.protocol;

import java.util.Arrays;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.pack.Channel;

/** Which columns hold the cells, or the sensors, and what a row says in them. One thread. */
final class NumberedColumns {
  private static final int NONE = -1;

  private final long[] values;
  private final boolean[] present;
  private final int[] columns;

  /**
   * Of the channels of one kind.
   *
   * @param values the values of a row, one a channel
   * @param present which of them a row has
   */
  NumberedColumns(Channel.Kind kind, List<Channel> channels, long[] values, boolean[] present) {
    this.values = values;
    this.present = present;
    int highest = 0;
    int[] all = new int[Channel.MAX_NUMBER];
    Arrays.fill(all, NONE);
    for (int i = 0; i < channels.size(); i++) {
      Channel channel = channels.get(i);
      if (channel.kind() == kind) {
        all[channel.number() - 1] = i;
        highest = Math.max(highest, channel.number());
      }
    }
    this.columns = Arrays.copyOf(all, highest);
  }

  /** The highest number that the row has a value of. */
  int count() {
    int count = columns.length;
    while (count > 0 && !has(count - 1)) {
      count--;
    }
    return count;
  }

  private boolean has(int at) {
    return columns[at] != NONE && present[columns[at]];
  }

  /** True when the row has all of the first values. */
  boolean isFull(int count) {
    for (int at = 0; at < count; at++) {
      if (!has(at)) {
        return false;
      }
    }
    return true;
  }

  /** The first values, all of them there. */
  int[] numbers(int count) {
    int[] numbers = new int[count];
    for (int at = 0; at < count; at++) {
      numbers[at] = (int) values[columns[at]];
    }
    return numbers;
  }

  /** The first values, some of them missing. */
  OptionalInt[] optionals(int count) {
    OptionalInt[] numbers = new OptionalInt[count];
    for (int at = 0; at < count; at++) {
      numbers[at] = has(at) ? OptionalInt.of((int) values[columns[at]]) : OptionalInt.empty();
    }
    return numbers;
  }
}
