package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import org.jspecify.annotations.Nullable;

/** Rows of a query on a damaged file: they end where the file breaks instead of throwing. */
final class DamagedRows implements AutoCloseable {
  private final int columns;
  private @Nullable PreparedStatement statement;
  private @Nullable ResultSet result;
  private @Nullable Object[] row = new @Nullable Object[0];
  private boolean broken;

  /** Runs a query that gives some columns. */
  public DamagedRows(Connection connection, String sql, int columns) {
    this.columns = columns;
    try {
      statement = connection.prepareStatement(sql);
      result = statement.executeQuery();
    } catch (SQLException e) {
      broken = true;
    }
  }

  /** True when the schema names a table. */
  static boolean hasTable(Connection connection, String name) {
    String sql = "SELECT rowid FROM sqlite_master WHERE type = 'table' AND name = '" + name + "'";
    try (DamagedRows rows = new DamagedRows(connection, sql, 1)) {
      return rows.next();
    }
  }

  /** Moves to the next row that can be read. */
  public boolean next() {
    ResultSet present = result;
    if (broken || present == null) {
      return false;
    }
    try {
      if (!present.next()) {
        return false;
      }
      row = new @Nullable Object[columns];
      for (int i = 0; i < columns; i++) {
        row[i] = present.getObject(i + 1);
      }
      return true;
    } catch (SQLException e) {
      broken = true;
      return false;
    }
  }

  /** The present row's values. */
  @Nullable Object[] row() {
    return row;
  }

  /** The present row's first value, a row number. */
  public long number() {
    return row[0] instanceof Number n ? n.longValue() : 0;
  }

  /** True when the rows ended because the file broke. */
  public boolean isBroken() {
    return broken;
  }

  @Override
  public void close() {
    close(result);
    close(statement);
  }

  /** A result that cannot be closed leaves its statement to be closed all the same. */
  private void close(@Nullable AutoCloseable part) {
    try {
      if (part != null) {
        part.close();
      }
    } catch (Exception e) {
      broken = true;
    }
  }
}
