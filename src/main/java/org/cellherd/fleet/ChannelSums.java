package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.ParcelRows;
import org.jspecify.annotations.Nullable;

/**
 * Statistics of all channels over an hour or a day, of equal order: a fifth of the memory that
 * their rows take.
 *
 * @param channels names
 * @param counts of readings
 * @param mins in each channel's stored unit, as the others
 */
record ChannelSums(
    List<@Nullable String> channels,
    List<@Nullable Long> counts,
    List<@Nullable Long> mins,
    List<@Nullable Double> means,
    List<@Nullable Long> maxs) {

  /** Of no channel. */
  static final ChannelSums NONE =
      new ChannelSums(List.of(), List.of(), List.of(), List.of(), List.of());

  /**
   * Those of a parcel.
   *
   * @throws StateMismatch when a column holds what it cannot
   */
  static ChannelSums of(ParcelRows rows) {
    return new ChannelSums(
        column(rows, "channel", ChannelSums::text),
        column(rows, "count", ChannelSums::whole),
        column(rows, "min", ChannelSums::whole),
        column(rows, "mean", ChannelSums::mean),
        column(rows, "max", ChannelSums::whole));
  }

  /** The values of a column; a kind gives null for one of another. */
  private static <V> List<@Nullable V> column(
      ParcelRows rows, String name, Function<Object, @Nullable V> kind) {
    List<@Nullable V> values = new ArrayList<>(rows.rows().size());
    for (@Nullable Object there : rows.column(name)) {
      @Nullable V value = there == null ? null : kind.apply(there);
      if (there != null && value == null) {
        throw new StateMismatch("the column " + name + " holds a value that it cannot have");
      }
      values.add(value);
    }
    return values;
  }

  private static @Nullable Long whole(Object value) {
    return value instanceof Long number ? number : null;
  }

  private static @Nullable String text(Object value) {
    return value instanceof String text ? text : null;
  }

  /** Of up to 10^9 whole numbers. */
  private static @Nullable Double mean(Object value) {
    double mean = value instanceof Number number ? number.doubleValue() : Double.NaN;
    boolean isMean = mean == 0 || (Math.abs(mean) >= 1e-9 && Math.abs(mean) <= Long.MAX_VALUE);
    return isMean ? mean : null;
  }
}
