package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * A column as the schema has it. SQLite keeps any value in any column, so that a damaged page can
 * show rows which nobody wrote.
 *
 * @param name its name
 * @param type declared type
 * @param isNeeded true when it is never empty
 */
record TableColumn(String name, String type, boolean isNeeded) {

  /** More samples than a channel can have in a day. */
  private static final long MOST_COUNT = 100_000_000;

  /** Thousand years. */
  private static final long LATEST_MS = 31_557_600_000_000L;

  static List<TableColumn> of(Connection connection, String table) throws SQLException {
    return Database.rows(
        connection,
        "SELECT name, type, \"notnull\" FROM pragma_table_info(?)",
        row -> new TableColumn(row.getString(1), row.getString(2), row.getInt(3) != 0),
        table);
  }

  /** False for what the program never writes there. */
  boolean mayHold(@Nullable Object value) {
    if (value == null) {
      return !isNeeded;
    }
    return switch (type) {
      case "INTEGER" ->
          (value instanceof Long || value instanceof Integer)
              && isInRange(((Number) value).longValue());
      case "REAL" -> value instanceof Number;
      case "TEXT" -> value instanceof String;
      default -> value instanceof byte[];
    };
  }

  /** Numbers that others are computed from. */
  private boolean isInRange(long number) {
    return switch (name) {
      case "count" -> number > 0 && number < MOST_COUNT;
      case "start_ms", "end_ms", "from_ms", "to_ms" -> Math.abs(number) < LATEST_MS;
      default -> true;
    };
  }
}
