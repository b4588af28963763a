package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * Readings that come among those of a stretch, all of whose readings lie in blocks, and none at the
 * time of one that it has. The blocks that they fall into are packed anew. The day is not looked
 * after: see {@link DayRows}.
 *
 * @param hour where they belong
 * @param readings at least one, in order of time
 */
record HourAmid(StretchHour hour, List<Reading> readings) implements WaitingRow {
  public HourAmid {
    readings = List.copyOf(readings);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    TreeMap<Long, ReadingsRow> blocks = new TreeMap<>();
    hour.rows(connection).forEach(block -> blocks.put(block.startMs(), block));
    TreeMap<Long, List<Reading>> byBlock = new TreeMap<>();
    for (Reading reading : readings) {
      long block = blockOf(reading.timeMs(), blocks);
      byBlock.computeIfAbsent(block, none -> new ArrayList<>()).add(reading);
    }
    for (Map.Entry<Long, List<Reading>> part : byBlock.entrySet()) {
      pack(connection, blocks.get(part.getKey()), part.getValue());
    }
    HourSums more = new HourSums();
    readings.forEach(more::add);
    more.write(connection, hour.pack(), hour.session(), hour.startMs());
    HourSums all = new HourSums();
    for (ReadingsRow block : hour.rows(connection)) {
      unpacked(block).stream().filter(this::isWithin).forEach(all::add);
    }
    all.writeEnds(connection, hour.pack(), hour.session(), hour.startMs());
  }

  private boolean isWithin(Reading reading) {
    return reading.timeMs() >= hour.startMs() && reading.timeMs() < hour.endMs();
  }

  /** Start of the block that a time falls into, or that is next to it in this hour; else none's. */
  private long blockOf(long timeMs, TreeMap<Long, ReadingsRow> blocks) {
    Map.Entry<Long, ReadingsRow> before = blocks.floorEntry(timeMs);
    if (before != null
        && (before.getKey() >= hour.startMs() || timeMs <= before.getValue().endMs())) {
      return before.getKey();
    }
    Long behind = blocks.higherKey(timeMs);
    return behind == null ? Long.MIN_VALUE : behind;
  }

  private void pack(Connection connection, @Nullable ReadingsRow block, List<Reading> more)
      throws SQLException {
    List<Reading> all = new ArrayList<>(more);
    if (block != null) {
      all.addAll(unpacked(block));
      Database.update(connection, "DELETE FROM block WHERE id = ?", block.id());
    }
    all.sort(Comparator.comparingLong(Reading::timeMs));
    for (int i = 0; i < all.size(); i += BlockCodec.MAX_READINGS) {
      int end = Math.min(all.size(), i + BlockCodec.MAX_READINGS);
      ReadingsRow.of(0, hour.pack(), hour.session(), all.subList(i, end)).insertBlock(connection);
    }
  }

  private static List<Reading> unpacked(ReadingsRow block) throws SQLException {
    try {
      return block.readings();
    } catch (BlockDamaged damaged) {
      throw new SQLException(damaged.getMessage(), damaged);
    }
  }

  @Override
  public int bytes() {
    return 200 * readings.size();
  }
}
