package org.cellherd.fleet;

import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.List;
import java.util.function.Function;
import java.util.function.IntFunction;
import org.jspecify.annotations.Nullable;

/**
 * Many rows for one statement: of each column an array, which {@code unnest} makes rows again. The
 * driver sends arrays of their own type as bytes, any other as text.
 */
final class RowArrays<T> {

  private final PreparedStatement statement;
  private final List<T> rows;
  private int at;

  RowArrays(PreparedStatement statement, List<T> rows) {
    this.statement = statement;
    this.rows = rows;
  }

  RowArrays<T> texts(Function<T, @Nullable String> of) throws SQLException {
    return column("text", String[]::new, of);
  }

  RowArrays<T> longs(Function<T, @Nullable Long> of) throws SQLException {
    return column("bigint", Long[]::new, of);
  }

  RowArrays<T> bytes(Function<T, byte @Nullable []> of) throws SQLException {
    return column("bytea", byte[][]::new, of);
  }

  /** An array that is not one of a value a row. */
  RowArrays<T> whole(String type, @Nullable Object[] values) throws SQLException {
    statement.setArray(++at, statement.getConnection().createArrayOf(type, values));
    return this;
  }

  private <V> RowArrays<T> column(
      String type, IntFunction<@Nullable V[]> array, Function<T, ? extends @Nullable V> of)
      throws SQLException {
    @Nullable V[] values = array.apply(rows.size());
    for (int i = 0; i < values.length; i++) {
      values[i] = of.apply(rows.get(i));
    }
    return whole(type, values);
  }
}
