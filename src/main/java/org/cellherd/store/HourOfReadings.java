package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.pack.Reading;

/** A finished block that waits, packed already, with its statistics. */
final class HourOfReadings implements WaitingRow {
  private final ReadingsRow row;
  private final HourSums sums = new HourSums();

  /** Packs readings of one stretch and one hour. */
  public HourOfReadings(String pack, long session, List<Reading> readings) {
    row = ReadingsRow.of(0, pack, session, readings);
    readings.forEach(sums::add);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    row.insertBlock(connection);
    sums.write(connection, row.pack(), row.session(), row.startMs());
  }

  @Override
  public int bytes() {
    return row.bytes() + 2000;
  }
}
