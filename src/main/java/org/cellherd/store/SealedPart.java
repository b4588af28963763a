package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Comparator;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.store.sql.Database;

/**
 * Rows that are sealed together.
 *
 * @param pack the pack's id; "" in tables that have row numbers
 * @param channel the channel's name; "" in tables that have row numbers
 * @param number place among the parts of that pack and channel
 */
record SealedPart(SealedTable table, String pack, String channel, long number)
    implements Comparable<SealedPart> {

  private static final Comparator<SealedPart> ORDER =
      Comparator.comparing(SealedPart::pack)
          .thenComparing(SealedPart::channel)
          .thenComparing(SealedPart::number);

  private static final String SEALED =
      "SELECT pack, channel, part FROM seal WHERE name = ?4 AND (pack, channel, part) > (?1, ?2, ?3)"
          + " ORDER BY pack, channel, part LIMIT 1";

  /** The next part that has rows or had some. */
  Optional<SealedPart> next(Connection connection) throws SQLException {
    long behind = number == Long.MIN_VALUE ? number : table.last(this);
    Optional<SealedPart> withRows =
        first(connection, table.next(), pack, channel, behind)
            .map(key -> table.part(key.pack, key.channel, key.number));
    Optional<SealedPart> sealed = first(connection, SEALED, pack, channel, number, table.table());
    return Stream.concat(withRows.stream(), sealed.stream()).min(Comparator.naturalOrder());
  }

  private Optional<SealedPart> first(Connection connection, String sql, Object... values)
      throws SQLException {
    return Database.first(
        connection,
        sql,
        row -> new SealedPart(table, row.getString(1), row.getString(2), row.getLong(3)),
        values);
  }

  @Override
  public int compareTo(SealedPart other) {
    return ORDER.compare(this, other);
  }
}
