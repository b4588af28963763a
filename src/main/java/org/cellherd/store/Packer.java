package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.sql.Database;

/** Packs finished hours of {@code recent} into blocks. */
final class Packer {
  private final Connection connection;
  private final FreeNumbers numbers;

  /** Reads through a connection; writes nothing. */
  public Packer(Connection connection, FreeNumbers numbers) {
    this.connection = connection;
    this.numbers = numbers;
  }

  /** Packs the rows of a pack's first hour, all of one stretch; empty where it has none. */
  public Optional<PackedHour> firstHour(String pack) throws SQLException {
    List<ReadingsRow> rows = rowsOfFirstHour(pack);
    if (rows.isEmpty()) {
      return Optional.empty();
    }
    ReadingsRow head = rows.get(0);
    List<WaitingRow> packed = new ArrayList<>();
    List<Reading> readings = new ArrayList<>();
    for (ReadingsRow row : rows) {
      List<Reading> more = readable(row, packed);
      if (readings.size() + more.size() > BlockCodec.MAX_READINGS) {
        packed.add(new HourOfReadings(pack, head.session(), readings));
        readings.clear();
      }
      readings.addAll(more);
    }
    if (!readings.isEmpty()) {
      packed.add(new HourOfReadings(pack, head.session(), readings));
    }
    return Optional.of(new PackedHour(head, rows.get(rows.size() - 1).id(), packed));
  }

  private List<ReadingsRow> rowsOfFirstHour(String pack) throws SQLException {
    List<ReadingsRow> rows = new ArrayList<>();
    String sql = "SELECT " + ReadingsRow.COLUMNS + " FROM recent WHERE pack = ? ORDER BY id";
    try (PreparedStatement statement = Database.prepare(connection, sql, pack);
        ResultSet result = statement.executeQuery()) {
      while (result.next()) {
        ReadingsRow row = ReadingsRow.of(result);
        if (!rows.isEmpty() && !row.isOfHourOf(rows.get(0))) {
          break;
        }
        rows.add(row);
      }
    }
    return rows;
  }

  /** The row's readings; where the row is damaged a gap says that there were some. */
  private List<Reading> readable(ReadingsRow row, List<WaitingRow> packed) {
    try {
      return row.readings();
    } catch (BlockDamaged e) {
      System.getLogger(Packer.class.getName())
          .log(System.Logger.Level.WARNING, "readings lost: {0}", e.getMessage());
      Gap gap = new Gap(row.startMs(), Math.max(row.startMs(), row.endMs()), Gap.Cause.UNKNOWN);
      packed.add(new GapRow(numbers.nextGap(), row.pack(), row.session(), row.startMs() - 1, gap));
      return List.of();
    }
  }
}
