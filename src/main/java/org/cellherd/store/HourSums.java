package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.Reading;
import org.cellherd.store.sql.Database;

/**
 * Statistics of every channel over readings of one hour. Masks have none: their mean says nothing.
 */
final class HourSums {

  private static final long DAY_MS = 86_400_000;

  private static final String VALUES =
      "(pack, channel, session, start_ms, count, min, mean, max, first, last)"
          + " VALUES (?,?,?,?,?,?,?,?,?,?)";

  private static final String UPSERT =
      VALUES
          + " ON CONFLICT(pack, channel, start_ms, session) DO UPDATE SET"
          + " mean = (mean * count + excluded.mean * excluded.count)"
          + " / (count + excluded.count),"
          + " count = count + excluded.count, min = min(min, excluded.min),"
          + " max = max(max, excluded.max), last = excluded.last";

  private final List<Sum> cells = new ArrayList<>();
  private final List<Sum> temperatures = new ArrayList<>();
  private final Sum current = new Sum(Channel.of(Kind.CURRENT));
  private final Sum pack = new Sum(Channel.of(Kind.PACK_VOLTAGE));
  private final Sum soc = new Sum(Channel.of(Kind.SOC));
  private final Sum chargeSwitch = new Sum(Channel.of(Kind.CHARGE_SWITCH));
  private final Sum dischargeSwitch = new Sum(Channel.of(Kind.DISCHARGE_SWITCH));
  private final Sum boardCharge = new Sum(Channel.of(Kind.BOARD_CHARGE));

  /** Takes a reading, in order of time. */
  public void add(Reading reading) {
    current.add(reading.currentMa());
    pack.add(reading.packMv());
    soc.add(reading.socTenthPct());
    chargeSwitch.add(reading.chargeSwitch());
    dischargeSwitch.add(reading.dischargeSwitch());
    boardCharge.add(reading.boardMah());
    for (int n = 1; n <= reading.cells().count(); n++) {
      if (cells.size() < n) {
        cells.add(new Sum(Channel.cell(n)));
      }
      if (reading.cells().has(n)) {
        cells.get(n - 1).add(reading.cells().tenthMv(n));
      }
    }
    for (int n = 1; n <= reading.temperatures().count(); n++) {
      if (temperatures.size() < n) {
        temperatures.add(new Sum(Channel.temperature(n)));
      }
      if (reading.temperatures().has(n)) {
        temperatures.get(n - 1).add(reading.temperatures().tenthC(n));
      }
    }
  }

  /** Writes or merges the rows of {@code hour} and {@code day}. */
  public void write(Connection connection, String packId, long session, long timeMs)
      throws SQLException {
    long hourMs = PackStream.hourOf(timeMs);
    long dayMs = Math.floorDiv(timeMs, DAY_MS) * DAY_MS;
    try (PreparedStatement hour = connection.prepareStatement("INSERT INTO hour" + UPSERT);
        PreparedStatement day = connection.prepareStatement("INSERT INTO day" + UPSERT)) {
      for (Sum sum : all()) {
        if (sum.count > 0) {
          sum.write(hour, packId, session, hourMs);
          sum.write(day, packId, session, dayMs);
        }
      }
    }
  }

  /** Writes those rows of {@code hour} that are not there. */
  public void writeMissing(Connection connection, String packId, long session, long timeMs)
      throws SQLException {
    long hourMs = PackStream.hourOf(timeMs);
    String sql = "INSERT OR IGNORE INTO hour" + VALUES;
    try (PreparedStatement hour = connection.prepareStatement(sql)) {
      for (Sum sum : all()) {
        if (sum.count > 0) {
          sum.write(hour, packId, session, hourMs);
        }
      }
    }
  }

  /** Says in the rows of {@code hour} which values came first and last. */
  public void writeEnds(Connection connection, String packId, long session, long hourMs)
      throws SQLException {
    String sql =
        "UPDATE hour SET first = ?, last = ?"
            + " WHERE pack = ? AND channel = ? AND session = ? AND start_ms = ?";
    for (Sum sum : all()) {
      if (sum.count > 0) {
        String channel = sum.channel.columnName();
        Database.update(connection, sql, sum.first, sum.last, packId, channel, session, hourMs);
      }
    }
  }

  /** How many channels have had a value. */
  public int channels() {
    return (int) all().stream().filter(sum -> sum.count > 0).count();
  }

  private List<Sum> all() {
    List<Sum> all = new ArrayList<>(cells);
    all.addAll(temperatures);
    all.addAll(List.of(current, pack, soc, chargeSwitch, dischargeSwitch, boardCharge));
    return all;
  }

  private static final class Sum {
    private final Channel channel;
    private long count;
    private long total;
    private long min = Long.MAX_VALUE;
    private long max = Long.MIN_VALUE;
    private long first;
    private long last;

    Sum(Channel channel) {
      this.channel = channel;
    }

    void add(OptionalInt value) {
      if (value.isPresent()) {
        add(value.getAsInt());
      }
    }

    void add(int value) {
      if (count == 0) {
        first = value;
      }
      count++;
      total += value;
      min = Math.min(min, value);
      max = Math.max(max, value);
      last = value;
    }

    void write(PreparedStatement statement, String packId, long session, long startMs)
        throws SQLException {
      Database.bind(
          statement,
          packId,
          channel.columnName(),
          session,
          startMs,
          count,
          min,
          (double) total / count,
          max,
          first,
          last);
      statement.executeUpdate();
    }
  }
}
