package org.cellherd.store;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.zip.CRC32C;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.codec.BlockDamaged;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;

/**
 * Packed readings of one stretch: a row of table {@code block} or {@code recent}.
 *
 * @param id row number
 * @param pack the pack's id
 * @param session the stretch's number
 * @param startMs time of the first reading, ms UTC
 * @param endMs time of the last reading, ms UTC
 * @param crc CRC-32C of the data
 * @param packed the readings, times relative to the first
 */
record ReadingsRow(
    long id, String pack, long session, long startMs, long endMs, long crc, PackedBytes packed)
    implements WaitingRow {

  /** What {@link #of(ResultSet)} reads, in its order. */
  public static final String COLUMNS = "id, pack, session, start_ms, end_ms, crc, data";

  /** Packs readings of one stretch. */
  public static ReadingsRow of(long id, String pack, long session, List<Reading> readings) {
    PackedBytes packed = BlockCodec.encode(readings);
    return new ReadingsRow(
        id,
        pack,
        session,
        readings.get(0).timeMs(),
        readings.get(readings.size() - 1).timeMs(),
        crc(packed.bytes()),
        packed);
  }

  static final ReadingsRow NONE = new ReadingsRow(0, "", 0, 0, 0, 0, new PackedBytes(new byte[0]));

  ReadingsRow state(State io) {
    return new ReadingsRow(
        io.number(id),
        io.text(pack),
        io.number(session),
        io.number(startMs),
        io.number(endMs),
        io.number(crc),
        new PackedBytes(io.bytes(packed.bytes())));
  }

  /** The row of a query that selected {@link #COLUMNS}. */
  public static ReadingsRow of(ResultSet row) throws SQLException {
    return new ReadingsRow(
        row.getLong(1),
        row.getString(2),
        row.getLong(3),
        row.getLong(4),
        row.getLong(5),
        row.getLong(6),
        new PackedBytes(row.getBytes(7)));
  }

  public ReadingsRow withId(long newId) {
    return new ReadingsRow(newId, pack, session, startMs, endMs, crc, packed);
  }

  /** The readings, checked. */
  public List<Reading> readings() throws BlockDamaged {
    checkCrc();
    return BlockCodec.decode(packed, startMs);
  }

  /** False for data that are not what was written. */
  boolean isWhole() {
    return crc(packed.bytes()) == crc;
  }

  private void checkCrc() throws BlockDamaged {
    if (!isWhole()) {
      throw new BlockDamaged("row " + id + " of " + pack + ": CRC-32C does not match");
    }
  }

  /** How many readings the data claim to hold; 0 where they make no sense. */
  public int count() {
    return BlockCodec.count(packed);
  }

  /** Start of the hour that it lies in, ms UTC. */
  long hourMs() {
    return PackStream.hourOf(startMs);
  }

  /** True when another row is of the same hour of the same stretch. */
  boolean isOfHourOf(ReadingsRow other) {
    return session == other.session && pack.equals(other.pack) && hourMs() == other.hourMs();
  }

  /** CRC-32C of some bytes. */
  public static long crc(byte[] bytes) {
    CRC32C crc = new CRC32C();
    crc.update(bytes);
    return crc.getValue();
  }

  @Override
  public ReadingsRow behind(FreeNumbers there) {
    return new ReadingsRow(
        there.ofReadings(id), pack, there.ofStretch(session), startMs, endMs, crc, packed);
  }

  @Override
  public void write(Connection connection) throws SQLException {
    insert(connection, "recent");
  }

  /** Writes the row into {@code block} under the next number. */
  public void insertBlock(Connection connection) throws SQLException {
    long next = Database.number(connection, "SELECT max(id) FROM block").orElse(0) + 1;
    withId(next).insert(connection, "block");
  }

  /** Writes the row into {@code recent} or {@code block}. */
  public void insert(Connection connection, String table) throws SQLException {
    Database.update(
        connection,
        "INSERT OR REPLACE INTO " + table + "(" + COLUMNS + ") VALUES (?,?,?,?,?,?,?)",
        id,
        pack,
        session,
        startMs,
        endMs,
        crc,
        packed.bytes());
  }

  @Override
  public int bytes() {
    return 120 + packed.bytes().length;
  }
}
