package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;

/**
 * Reads a log against its check values while it is in use: block by block, then the other tables
 * some rows at a time. A damaged block stays where it is; a gap over it tells every later reader,
 * and this one that it was reported. Belongs to the writer's thread.
 */
final class LogCheck {

  private static final String NEXT =
      "SELECT " + ReadingsRow.COLUMNS + " FROM block WHERE id > ? ORDER BY id LIMIT 1";

  /** Queries find blocks by this index only. */
  private static final String IN_INDEX =
      "SELECT count(*) FROM block INDEXED BY block_by_time"
          + " WHERE pack = ? AND session = ? AND start_ms = ? AND id = ?";

  private static final String TOLD =
      "SELECT count(*) FROM gap WHERE pack = ? AND session = ? AND from_ms = ? AND to_ms = ?";

  private final Database reading;
  private final Database writing;
  private final Reports reports;
  private final SealWalk tables;
  private long last = Long.MIN_VALUE;
  private boolean isInBlocks = true;

  LogCheck(Database reading, Database writing, Reports reports) {
    this.reading = reading;
    this.writing = writing;
    this.reports = reports;
    this.tables = new SealWalk(reading, writing, reports);
  }

  /** Checks the next block or rows; false when the last are checked, and then begins anew. */
  boolean step() throws StorageFailure {
    if (isInBlocks) {
      isInBlocks = checkBlock();
      return true;
    }
    isInBlocks = !tables.step();
    return !isInBlocks;
  }

  private boolean checkBlock() throws StorageFailure {
    Optional<ReadingsRow> next = reading.read(this::next);
    last = next.map(ReadingsRow::id).orElse(Long.MIN_VALUE);
    if (next.isPresent() && !next.get().isWhole()) {
      writing.write(c -> tell(c, next.get()));
    }
    return next.isPresent();
  }

  private Optional<ReadingsRow> next(Connection connection) throws SQLException, StorageFailure {
    Optional<ReadingsRow> next = Database.first(connection, NEXT, ReadingsRow::of, last);
    if (next.isPresent()) {
      ReadingsRow block = next.get();
      Object[] place = {block.pack(), block.session(), block.startMs(), block.id()};
      if (Database.number(connection, IN_INDEX, place).orElse(0) == 0) {
        throw new StorageFailure(
            Kind.DAMAGED, reading.file() + ": the file is damaged (an index has lost a block)");
      }
    }
    return next;
  }

  private void tell(Connection connection, ReadingsRow row) throws SQLException {
    long toMs = Math.max(row.startMs(), row.endMs());
    boolean isTold =
        Database.number(connection, TOLD, row.pack(), row.session(), row.startMs(), toMs).orElse(0)
            > 0;
    if (!isTold) {
      long fromMs = row.startMs();
      GapRow.writeFound(connection, row.pack(), row.session(), fromMs - 1, fromMs, toMs);
      reports.add(DamagedRow.loss(connection, row).sentence());
    }
  }
}
