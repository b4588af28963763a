package org.cellherd.mqtt;

import java.math.BigDecimal;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/** A reading's JSON: the names and units of the readings' CSV columns. */
public final class ReadingFacts {

  private ReadingFacts() {}

  /**
   * The JSON of the topic {@code <pack>/reading}; what the board did not tell is left out.
   *
   * @param validS seconds after which the reading is stale
   */
  public static Facts of(Reading reading, long validS) {
    Facts.Builder b = Facts.of().putTime("time", reading.timeMs()).put("valid_s", validS);
    for (Channel.Kind kind : Channel.Kind.values()) {
      if (!kind.isNumbered()) {
        put(b, reading, Channel.of(kind));
        continue;
      }
      int count =
          kind == Channel.Kind.CELL ? reading.cells().count() : reading.temperatures().count();
      for (int number = 1; number <= count; number++) {
        put(b, reading, new Channel(kind, number));
      }
    }
    return putCells(b, reading).build();
  }

  private static Facts.Builder putCells(Facts.Builder b, Reading reading) {
    if (reading.cells().presentCount() < 2) {
      return b;
    }
    return b.put("spread_mv", reading.cells().spreadTenthMv().orElse(0) / 10.0, 1)
        .put("highest_cell", reading.cells().highestCell())
        .put("lowest_cell", reading.cells().lowestCell());
  }

  private static void put(Facts.Builder b, Reading reading, Channel channel) {
    if (reading.value(channel).isEmpty()) {
      return;
    }
    long stored = reading.value(channel).getAsLong();
    int decimals = channel.kind().decimals();
    if (decimals == 0) {
      b.put(channel.columnName(), stored);
    } else {
      b.put(channel.columnName(), BigDecimal.valueOf(stored, decimals).doubleValue(), decimals);
    }
  }
}
