package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.Collections;
import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * Copies what can be read of one table of a damaged file: forwards until it breaks, backwards until
 * it breaks, row number by row number between, and at last whatever lies about. Rows whose CRC does
 * not match, or that hold what their columns cannot, are counted as lost.
 */
final class TableWalk {

  /** Row numbers tried one by one where the table breaks, at most. */
  private static final long MOST_PROBES = 1_000_000;

  /** Row numbers tried behind the last row when the end of the table itself is broken. */
  private static final long PROBES_BEHIND = 5_000;

  private final Connection from;
  private final PreparedStatement put;
  private final String table;
  private final List<TableColumn> columns;
  private long kept;
  private long lost;
  private boolean broken;

  private TableWalk(
      Connection from, PreparedStatement put, String table, List<TableColumn> columns) {
    this.from = from;
    this.put = put;
    this.table = table;
    this.columns = columns;
  }

  /** Rows that a broken table may have lost sight of. */
  @FunctionalInterface
  interface Strays {
    /** Hands out rows of any table. */
    void forEach(StrayRows.Taker taker) throws SQLException;
  }

  /** Copies a table whose first column is its row number. */
  public static TableWalk byNumber(Connection from, Connection to, String table, Strays strays)
      throws SQLException {
    return walk(
        from,
        to,
        table,
        walk -> {
          walk.numbers();
          if (walk.broken) {
            walk.gather(strays);
          }
        });
  }

  /** Adds to a table what lies about, where it has no row of that number. */
  static TableWalk ofStrays(Connection to, String table, Strays strays) throws SQLException {
    return walk(to, to, table, walk -> walk.gather(strays));
  }

  /** Copies a table without row numbers from both ends of its order. */
  public static TableWalk byOrder(Connection from, Connection to, String table, List<String> order)
      throws SQLException {
    return walk(
        from,
        to,
        table,
        walk -> {
          walk.scan("ORDER BY " + String.join(", ", order), Long.MIN_VALUE, false);
          if (walk.broken) {
            walk.scan("ORDER BY " + String.join(" DESC, ", order) + " DESC", 0, false);
          }
        });
  }

  /** What to do with a walk while its statement is open. */
  @FunctionalInterface
  private interface Way {
    void go(TableWalk walk) throws SQLException;
  }

  private static TableWalk walk(Connection from, Connection to, String table, Way way)
      throws SQLException {
    List<TableColumn> columns = TableColumn.of(to, table);
    String insert =
        "INSERT OR IGNORE INTO "
            + table
            + "("
            + names(columns)
            + ") VALUES ("
            + String.join(", ", Collections.nCopies(columns.size(), "?"))
            + ")";
    try (PreparedStatement put = to.prepareStatement(insert)) {
      TableWalk walk = new TableWalk(from, put, table, columns);
      way.go(walk);
      return walk;
    }
  }

  private static String names(List<TableColumn> columns) {
    return columns.stream().map(TableColumn::name).collect(Collectors.joining(", "));
  }

  private void numbers() throws SQLException {
    String key = columns.get(0).name();
    long low = scan("ORDER BY " + key, Long.MIN_VALUE, true);
    if (broken) {
      long high = scan("ORDER BY " + key + " DESC", low, true);
      probe(low == Long.MIN_VALUE ? 1 : low + 1, high);
    }
  }

  /** Copies rows until the file breaks or a row number is not above {@code stopAt}. */
  private long scan(String order, long stopAt, boolean numbered) throws SQLException {
    long last = Long.MIN_VALUE;
    try (DamagedRows rows = new DamagedRows(from, select(order), columns.size())) {
      while (rows.next()) {
        if (numbered && rows.number() <= stopAt) {
          break;
        }
        last = rows.number();
        keep(rows.row());
      }
      broken |= rows.isBroken();
    }
    return last;
  }

  private void probe(long first, long high) throws SQLException {
    boolean endKnown = high != Long.MIN_VALUE;
    long end = endKnown ? high : first + PROBES_BEHIND;
    long found = 0;
    long highest = endKnown ? high - 1 : first - 1;
    for (long id = first; id < Math.min(end, first + MOST_PROBES); id++) {
      String where = "WHERE " + columns.get(0).name() + " = " + id;
      try (DamagedRows rows = new DamagedRows(from, select(where), columns.size())) {
        if (rows.next()) {
          found++;
          highest = Math.max(highest, id);
          keep(rows.row());
        }
      }
    }
    // Where even the end is unknown, one row at least is missing.
    lost += Math.max(endKnown ? 0 : 1, highest - first + 1 - found);
  }

  private void gather(Strays strays) throws SQLException {
    long before = kept;
    strays.forEach(
        (number, row) -> {
          if (row.length == columns.size() && row[0] == null) {
            row[0] = number;
            if (isWhole(row)) {
              keep(row);
            }
          }
        });
    lost = Math.max(0, lost - (kept - before));
  }

  private String select(String end) {
    return "SELECT " + names(columns) + " FROM " + table + " " + end;
  }

  private void keep(@Nullable Object[] row) throws SQLException {
    if (!isWhole(row)) {
      lost++;
      return;
    }
    Database.bind(put, row);
    if (put.executeUpdate() > 0) {
      kept++;
    }
  }

  private boolean isWhole(@Nullable Object[] row) {
    @Nullable Object crc = null;
    @Nullable Object data = null;
    for (int i = 0; i < row.length; i++) {
      TableColumn column = columns.get(i);
      if (!column.mayHold(row[i])) {
        return false;
      }
      crc = column.name().equals("crc") ? row[i] : crc;
      data = column.name().equals("data") ? row[i] : data;
    }
    return !(crc instanceof Number n)
        || !(data instanceof byte[] bytes)
        || ReadingsRow.crc(bytes) == n.longValue();
  }

  /** Rows copied. */
  public long kept() {
    return kept;
  }

  /** Rows that were damaged or are missing, as far as numbers tell. */
  public long lost() {
    return lost;
  }

  /** True when the table could not be read from end to end. */
  public boolean isBroken() {
    return broken;
  }
}
