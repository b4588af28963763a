package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.sql.Database;

/** Makes the days anew from the hours. */
final class DayRows {

  private static final String DAYS =
      "INSERT INTO day SELECT pack, channel, session, (start_ms / 86400000) * 86400000 AS d,"
          + " sum(count), min(min), sum(mean * count) / sum(count), max(max), 0, 0"
          + " FROM hour WHERE (?1 IS NULL OR pack = ?1) AND (?2 IS NULL OR session = ?2)"
          + " GROUP BY pack, channel, session, d";

  private static final String ENDS =
      "UPDATE day SET first = (SELECT first FROM hour h WHERE "
          + ofThisDay("h")
          + " ORDER BY h.start_ms LIMIT 1), last = (SELECT last FROM hour h WHERE "
          + ofThisDay("h")
          + " ORDER BY h.start_ms DESC LIMIT 1)"
          + " WHERE (?1 IS NULL OR pack = ?1) AND (?2 IS NULL OR session = ?2)";

  private final Connection connection;

  /** Works on a connection inside a transaction. */
  public DayRows(Connection connection) {
    this.connection = connection;
  }

  private static String ofThisDay(String h) {
    return String.format(
        "%1$s.pack = day.pack AND %1$s.channel = day.channel AND %1$s.session = day.session"
            + " AND %1$s.start_ms >= day.start_ms AND %1$s.start_ms < day.start_ms + 86400000",
        h);
  }

  public void rebuild(String pack, long session) throws SQLException {
    Database.update(connection, "DELETE FROM day WHERE pack = ? AND session = ?", pack, session);
    Database.update(connection, DAYS, pack, session);
    Database.update(connection, ENDS, pack, session);
  }

  /** Makes all days anew. */
  public void rebuildAll() throws SQLException {
    Database.execute(connection, "DELETE FROM day");
    Database.update(connection, DAYS, null, null);
    Database.update(connection, ENDS, null, null);
  }
}
