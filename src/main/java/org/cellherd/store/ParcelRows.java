package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;
import org.jspecify.annotations.Nullable;

/**
 * Rows of a table with the names of their columns: what a parcel holds.
 *
 * @param columns names, in order
 * @param rows each with one value a column: a Long, a Double, a String, a byte[] or null
 */
public record ParcelRows(List<String> columns, List<List<@Nullable Object>> rows) {

  private static final int MOST_ROWS = 10_000;
  private static final int MOST_COLUMNS = 100;

  public static final ParcelRows NONE = new ParcelRows(List.of(), List.of());

  /** The rows of a key; empty when there are none. */
  static PackedBytes read(Connection connection, ParcelKind kind, String key) throws SQLException {
    String where =
        kind.keyColumns().stream().map(c -> c + " = ?").collect(Collectors.joining(" AND "));
    String sql =
        "SELECT "
            + String.join(", ", kind.columns())
            + " FROM "
            + kind.word()
            + " WHERE "
            + where
            + " ORDER BY "
            + kind.order();
    List<List<@Nullable Object>> rows = new ArrayList<>();
    try (PreparedStatement statement =
            Database.prepare(connection, sql, (Object[]) key.split("/", kind.keyParts()));
        ResultSet row = statement.executeQuery()) {
      while (row.next()) {
        List<@Nullable Object> values = new ArrayList<>();
        for (int i = 1; i <= kind.columns().size(); i++) {
          Object value = row.getObject(i);
          values.add(value instanceof Integer number ? (Object) (long) number : value);
        }
        rows.add(values);
      }
    }
    return rows.isEmpty()
        ? new PackedBytes(new byte[0])
        : new ParcelRows(kind.columns(), rows).packed();
  }

  /** As bytes. */
  public PackedBytes packed() {
    return new PackedBytes(SavedState.of(this, ParcelRows::state).bytes());
  }

  /**
   * The rows of a parcel's body.
   *
   * @throws StateMismatch when it holds none
   */
  public static ParcelRows of(ParcelKind kind, PackedBytes body) {
    ParcelRows rows = SavedState.ofBytes(body.bytes()).as(NONE, ParcelRows::state);
    boolean isKnown =
        kind.columns().equals(rows.columns) || kind.columns().containsAll(rows.columns);
    if (rows.rows.isEmpty() || !isKnown) {
      throw new StateMismatch("these are not rows of " + kind.word());
    }
    return rows;
  }

  /** Writes the rows into the table, in place of those with the same numbers. */
  public void write(Connection connection, ParcelKind kind) throws SQLException {
    String marks = String.join(",", Collections.nCopies(columns.size(), "?"));
    String sql =
        "INSERT OR REPLACE INTO "
            + kind.word()
            + "("
            + String.join(", ", columns)
            + ") VALUES ("
            + marks
            + ")";
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      for (List<@Nullable Object> row : rows) {
        Database.bind(statement, row.toArray());
        statement.executeUpdate();
      }
    }
  }

  /** The value of a column in a row; null where the column is not there. */
  public @Nullable Object value(int row, String column) {
    int at = columns.indexOf(column);
    return at < 0 ? null : rows.get(row).get(at);
  }

  /** The values of a column, one a row; nulls where the column is not there. */
  public List<@Nullable Object> column(String name) {
    int at = columns.indexOf(name);
    List<@Nullable Object> values = new ArrayList<>(rows.size());
    for (List<@Nullable Object> row : rows) {
      values.add(at < 0 ? null : row.get(at));
    }
    return values;
  }

  /**
   * A text of the first row.
   *
   * @throws StateMismatch when it is none
   */
  public String text(String column) {
    if (value(0, column) instanceof String text) {
      return text;
    }
    throw new StateMismatch(column + " is not text");
  }

  /**
   * A whole number of the first row.
   *
   * @throws StateMismatch when it is none
   */
  public long number(String column) {
    if (value(0, column) instanceof Long number) {
      return number;
    }
    throw new StateMismatch(column + " is not a whole number");
  }

  /** The pack of the first row; "" where the table names none. */
  public String pack() {
    return !rows.isEmpty() && value(0, "pack") instanceof String pack ? pack : "";
  }

  private static ParcelRows state(ParcelRows now, State io) {
    io.section("rows", 1);
    String names = io.text(String.join(" ", now.columns));
    List<String> columns = Arrays.asList(names.split(" "));
    if (columns.size() > MOST_COLUMNS) {
      throw new StateMismatch(columns.size() + " columns");
    }
    int count = io.within(now.rows.size(), 0, MOST_ROWS);
    List<List<@Nullable Object>> rows = new ArrayList<>(count);
    for (int r = 0; r < count; r++) {
      List<@Nullable Object> row = new ArrayList<>(columns.size());
      for (int c = 0; c < columns.size(); c++) {
        row.add(value(io.isRestoring() ? null : now.rows.get(r).get(c), io));
      }
      rows.add(row);
    }
    return new ParcelRows(columns, rows);
  }

  private static @Nullable Object value(@Nullable Object now, State io) {
    return switch (io.within(form(now), 0, 4)) {
      case 1 -> io.number(now instanceof Long number ? number : 0L);
      case 2 -> io.number(now instanceof Double number ? number : 0.0);
      case 3 -> io.text(now instanceof String text ? text : "");
      case 4 -> io.bytes(now instanceof byte[] bytes ? bytes : new byte[0]);
      default -> null;
    };
  }

  private static int form(@Nullable Object value) {
    if (value == null) {
      return 0;
    }
    if (value instanceof Long) {
      return 1;
    }
    if (value instanceof Double) {
      return 2;
    }
    return value instanceof String ? 3 : 4;
  }
}
