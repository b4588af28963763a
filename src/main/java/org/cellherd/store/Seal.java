package org.cellherd.store;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.zip.CRC32C;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * What the rows of a part were when they were looked at last: a sum of each, CRC-32C over its
 * columns. Text and numbers count, not how SQLite happens to store them.
 *
 * @param sums one for each row, in no order that counts
 */
record Seal(SealedPart part, long fromMs, long toMs, List<Integer> sums) {

  private static final String OF_PART =
      "SELECT name, pack, channel, part, from_ms, to_ms, sums, crc FROM seal"
          + " WHERE name = ? AND pack = ? AND channel = ? AND part = ?";

  private static final String WITHIN =
      "SELECT name, pack, channel, part, from_ms, to_ms, sums, crc FROM seal"
          + " WHERE name = ? AND pack IN ('', ?) AND to_ms >= ? AND from_ms < ?";

  /** That of the rows as they are. */
  static Seal now(Connection connection, SealedPart part) throws SQLException {
    long from = Long.MAX_VALUE;
    long to = Long.MIN_VALUE;
    List<Integer> sums = new ArrayList<>();
    SealedTable table = part.table();
    try (PreparedStatement statement =
            Database.prepare(
                connection,
                table.rows(),
                part.pack(),
                part.channel(),
                table.first(part),
                table.last(part));
        ResultSet row = statement.executeQuery()) {
      int columns = row.getMetaData().getColumnCount();
      while (row.next()) {
        from = Math.min(from, row.getLong(1));
        to = Math.max(to, row.getLong(2));
        sums.add(sum(row, columns));
      }
    }
    return new Seal(part, from, to, sums);
  }

  private static int sum(ResultSet row, int columns) throws SQLException {
    CRC32C sum = new CRC32C();
    for (int i = 3; i <= columns; i++) {
      @Nullable Object value = row.getObject(i);
      byte[] bytes =
          value instanceof byte[] data ? data : utf8(value instanceof Integer n ? (long) n : value);
      sum.update(bytes.length);
      sum.update(bytes);
    }
    return (int) sum.getValue();
  }

  private static byte[] utf8(@Nullable Object value) {
    return String.valueOf(value).getBytes(StandardCharsets.UTF_8);
  }

  /** The one in the log; empty where there is none, or where it is itself not what was written. */
  static Optional<Seal> stored(Connection connection, SealedPart part) throws SQLException {
    return read(
            connection,
            part.table(),
            OF_PART,
            part.table().table(),
            part.pack(),
            part.channel(),
            part.number())
        .stream()
        .findFirst();
  }

  /** Those of a table that touch a time, {@code fromMs <= t < toMs}, of one pack where it tells. */
  static List<Seal> within(
      Connection connection, SealedTable table, String pack, long fromMs, long toMs)
      throws SQLException {
    return read(connection, table, WITHIN, table.table(), pack, fromMs, toMs);
  }

  private static List<Seal> read(
      Connection connection, SealedTable table, String sql, Object... values) throws SQLException {
    List<Seal> seals = new ArrayList<>();
    Database.each(
        connection,
        sql,
        row -> {
          SealedPart part =
              new SealedPart(table, row.getString(2), row.getString(3), row.getLong(4));
          Seal seal = new Seal(part, row.getLong(5), row.getLong(6), unpack(row.getBytes(7)));
          if (seal.crc() == row.getLong(8)) {
            seals.add(seal);
          }
        },
        values);
    return seals;
  }

  private static List<Integer> unpack(byte[] bytes) {
    List<Integer> sums = new ArrayList<>();
    ByteBuffer in = ByteBuffer.wrap(bytes);
    while (in.remaining() >= Integer.BYTES) {
      sums.add(in.getInt());
    }
    return sums;
  }

  private byte[] packed() {
    ByteBuffer out = ByteBuffer.allocate(sums.size() * Integer.BYTES);
    sums.forEach(out::putInt);
    return out.array();
  }

  private long crc() {
    CRC32C crc = new CRC32C();
    crc.update(packed());
    crc.update(utf8(part + " " + fromMs + " " + toMs));
    return crc.getValue();
  }

  /** Puts it into the log; nothing where there are no rows. */
  void write(Connection connection) throws SQLException {
    if (sums.isEmpty()) {
      return;
    }
    Database.update(
        connection,
        "INSERT OR REPLACE INTO seal(name, pack, channel, part, from_ms, to_ms, sums, crc)"
            + " VALUES (?,?,?,?,?,?,?,?)",
        part.table().table(),
        part.pack(),
        part.channel(),
        part.number(),
        fromMs,
        toMs,
        packed(),
        crc());
  }

  /** True when these rows are those of another seal, in whatever order. */
  boolean isOf(Seal other) {
    return sums.size() == other.sums.size() && missingIn(other) == 0;
  }

  private int missingIn(Seal now) {
    List<Integer> left = new ArrayList<>(sums);
    now.sums.forEach(left::remove);
    return left.size();
  }

  /** Rows that are not as they were; empty when all are there. */
  Optional<String> lossIn(Connection connection) throws SQLException {
    int missing = missingIn(now(connection, part));
    return missing == 0 ? Optional.empty() : Optional.of(sentence(missing));
  }

  private String sentence(int rows) {
    return "Table %s of the log: %s %s between %s and %s %s damaged or missing."
        .formatted(
            part.table().table(),
            rows,
            rows == 1 ? "row" : "rows",
            Loss.time(fromMs),
            Loss.time(toMs),
            rows == 1 ? "is" : "are");
  }
}
