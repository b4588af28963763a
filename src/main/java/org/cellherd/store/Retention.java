package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.OptionalLong;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.StoreSettings;

/**
 * Drops the oldest blocks, and what nobody needs any more. Free pages are used again by the next
 * blocks; the file does not shrink.
 */
final class Retention {

  private static final int BLOCKS_A_CALL = 200;

  /** Saved states of each pack and fold that are kept whatever their age, newest first. */
  private static final int NEWEST_SNAPSHOTS = 48;

  /** Behind those one a day, and behind these days one in thirty: starts for older stretches. */
  private static final int SNAPSHOT_DAYS = 60;

  private static final int FINDING_DAYS = 30;

  private static final long DAY_MS = 86_400_000;

  /** Of a block {@code b}: a centre is to get it and does not hold it yet. */
  private static final String UNHELD =
      "EXISTS (SELECT 1 FROM change WHERE kind = 'block' AND key = b.id || '/' || b.start_ms)";

  private static final String MAY_GO =
      " AND NOT (EXISTS (SELECT 1 FROM forwarding WHERE waits = 1) AND "
          + UNHELD.replace("b.", "block.")
          + ")";

  private final Connection connection;
  private final StoreSettings settings;
  private long unheld;

  Retention(Connection connection, StoreSettings settings) {
    this.connection = connection;
    this.settings = settings;
  }

  /** Drops a bounded number of blocks that are too old or too many. */
  int apply(long nowMs) throws SQLException {
    thinSnapshots(nowMs);
    thinFindings(nowMs);
    int dropped = 0;
    if (settings.keepDays().isPresent()) {
      long oldestMs = nowMs - settings.keepDays().getAsInt() * DAY_MS;
      dropped += drop("end_ms < ?", oldestMs, BLOCKS_A_CALL);
    }
    OptionalLong most = settings.maxFileBytes();
    while (most.isPresent() && usedBytes() > most.getAsLong() && dropped < BLOCKS_A_CALL) {
      int now = drop("end_ms < ?", Long.MAX_VALUE, 8);
      if (now == 0) {
        break;
      }
      dropped += now;
    }
    return dropped;
  }

  /** Blocks of those dropped that a centre should have got and did not hold yet. */
  long unheld() {
    return unheld;
  }

  private void thinSnapshots(long nowMs) throws SQLException {
    Database.update(
        connection,
        "DELETE FROM snapshot WHERE id IN (SELECT id FROM (SELECT id,"
            + " row_number() OVER (PARTITION BY pack, fold ORDER BY at_ms DESC) AS place,"
            + " row_number() OVER (PARTITION BY pack, fold,"
            + " at_ms / CASE WHEN at_ms >= ? THEN ? ELSE ? END ORDER BY at_ms DESC) AS later"
            + " FROM snapshot) WHERE place > ? AND later > 1)",
        nowMs - SNAPSHOT_DAYS * DAY_MS,
        DAY_MS,
        30 * DAY_MS,
        NEWEST_SNAPSHOTS);
  }

  /**
   * What stands is saved each hour as it grows. After a month one a day is enough; each call looks
   * at the two days that have just become as old as that.
   */
  private void thinFindings(long nowMs) throws SQLException {
    Database.update(
        connection,
        "DELETE FROM finding WHERE to_ms >= ?1 AND to_ms < ?2 AND EXISTS (SELECT 1 FROM finding l"
            + " WHERE l.pack = finding.pack AND l.name = finding.name"
            + " AND l.from_ms = finding.from_ms AND l.to_ms > finding.to_ms"
            + " AND l.to_ms / ?3 = finding.to_ms / ?3)",
        nowMs - (FINDING_DAYS + 2) * DAY_MS,
        nowMs - FINDING_DAYS * DAY_MS,
        DAY_MS);
  }

  private int drop(String condition, long value, int most) throws SQLException {
    String oldest = " FROM block WHERE " + condition + MAY_GO + " ORDER BY end_ms LIMIT ?";
    unheld +=
        Database.number(
                connection,
                "SELECT count(*) FROM (SELECT id, start_ms" + oldest + ") AS b WHERE " + UNHELD,
                value,
                most)
            .orElse(0);
    Database.update(
        connection,
        "UPDATE retired SET to_ms = max(to_ms, (SELECT coalesce(max(end_ms), -1)"
            + " FROM (SELECT end_ms"
            + oldest
            + ")))",
        value,
        most);
    // Not a change of what was: a centre goes on holding it.
    Database.execute(connection, "UPDATE forwarding SET retiring = 1");
    int dropped =
        Database.update(
            connection, "DELETE FROM block WHERE id IN (SELECT id" + oldest + ")", value, most);
    Database.execute(connection, "UPDATE forwarding SET retiring = 0");
    return dropped;
  }

  private long usedBytes() throws SQLException {
    long pages = Long.parseLong(Database.pragma(connection, "page_count"));
    long free = Long.parseLong(Database.pragma(connection, "freelist_count"));
    return (pages - free) * Long.parseLong(Database.pragma(connection, "page_size"));
  }
}
