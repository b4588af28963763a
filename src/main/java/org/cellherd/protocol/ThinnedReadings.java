package org.cellherd.protocol;

import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/**
 * One reading for each interval in place of many. Intervals begin at whole multiples of their
 * length since 1970 UTC; those without a reading are left out. One thread.
 */
public final class ThinnedReadings {

  /** What stands for the readings of an interval. */
  public enum By {
    /**
     * The mean of each value over the readings that have it, at the interval's beginning; of
     * switches and bit patterns the last.
     */
    MEAN,
    /** The last reading, at its own time. */
    LAST
  }

  private record Sum(long sum, long count, long last) {
    Sum and(long value) {
      return new Sum(sum + value, count + 1, value);
    }

    /** Halves away from 0, as everywhere. */
    long mean() {
      return Math.round((double) Math.abs(sum) / count) * Long.signum(sum);
    }
  }

  private final long everyMs;
  private final By by;
  private final Map<Channel, Sum> sums = new TreeMap<>();
  private Optional<Reading> last = Optional.empty();

  public ThinnedReadings(long everyMs, By by) {
    this.everyMs = everyMs;
    this.by = by;
  }

  /** Takes the next reading; what the interval before it came to, once that is over. */
  public Optional<Reading> take(Reading reading) {
    boolean isNew = last.isPresent() && start(reading) != start(last.get());
    Optional<Reading> done = isNew ? end() : Optional.empty();
    last = Optional.of(reading);
    for (Channel channel : by == By.MEAN ? ReadingCsv.ALL : ReadingCsv.NONE) {
      reading
          .value(channel)
          .ifPresent(
              v -> sums.merge(channel, new Sum(v, 1, v), (old, added) -> old.and(added.last)));
    }
    return done;
  }

  private long start(Reading reading) {
    return Math.floorDiv(reading.timeMs(), everyMs);
  }

  /** What the last interval came to. */
  public Optional<Reading> end() {
    Optional<Reading> whole = by == By.LAST ? last : last.map(this::mean);
    last = Optional.empty();
    sums.clear();
    return whole;
  }

  private Reading mean(Reading newest) {
    Reading.Builder b = Reading.at(start(newest) * everyMs);
    OptionalInt[] cells = row(Channel.Kind.CELL);
    OptionalInt[] temperatures = row(Channel.Kind.TEMPERATURE);
    if (cells.length > 0) {
      b.cells(CellVoltages.ofOptional(cells));
    }
    if (temperatures.length > 0) {
      b.temperatures(Temperatures.ofOptional(temperatures));
    }
    sums.forEach(
        (channel, sum) -> {
          if (!channel.kind().isNumbered()) {
            b.value(channel.kind(), channel.kind().decimals() == 0 ? sum.last : sum.mean());
          }
        });
    return b.build();
  }

  private OptionalInt[] row(Channel.Kind kind) {
    int count =
        sums.keySet().stream()
            .filter(c -> c.kind() == kind)
            .mapToInt(Channel::number)
            .max()
            .orElse(0);
    OptionalInt[] row = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      Sum sum = sums.get(new Channel(kind, i + 1));
      row[i] = sum == null ? OptionalInt.empty() : OptionalInt.of((int) sum.mean());
    }
    return row;
  }
}
