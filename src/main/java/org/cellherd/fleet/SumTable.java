package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.sql.ParcelKind;
import org.jspecify.annotations.Nullable;

/** Statistics of all channels over an hour or a day, a row each, as arrays of equal order. */
enum SumTable {
  HOURS("hour_sum", ParcelKind.HOUR),
  DAYS("day_sum", ParcelKind.DAY);

  private static final String PUT =
      " (site, log, month, pack, session, start_ms, channel, count, min, mean, max)"
          + " VALUES (?,?,?,?,?,?,?,?,?,?,?)"
          + " ON CONFLICT (site, log, month, pack, session, start_ms) DO UPDATE SET"
          + " channel = excluded.channel, count = excluded.count, min = excluded.min,"
          + " mean = excluded.mean, max = excluded.max";

  private static final String WITHDRAW =
      " WHERE site = ? AND log = ? AND month = ? AND pack = ? AND session = ? AND start_ms = ?";

  private final String table;
  private final ParcelKind kind;

  SumTable(String table, ParcelKind kind) {
    this.table = table;
    this.kind = kind;
  }

  /** A row of the table. */
  private record Row(String site, String log, String key) {}

  /** Brings the table up to date with some parcels of any kind: of one row the last counts. */
  void write(Connection connection, List<ReadParcel> parcels) throws SQLException {
    Map<Row, ReadParcel> last = new LinkedHashMap<>();
    for (ReadParcel each : parcels) {
      if (each.parcel().kind() == kind) {
        last.put(new Row(each.site(), each.log().toString(), each.parcel().key()), each);
      }
    }
    List<ReadParcel> put = new ArrayList<>(last.values());
    put.removeIf(each -> each.parcel().isWithdrawn());
    List<ReadParcel> withdrawn = new ArrayList<>(last.values());
    withdrawn.removeAll(put);
    all(connection, "DELETE FROM " + table + WITHDRAW, withdrawn);
    all(connection, "INSERT INTO " + table + PUT, put);
  }

  private static void all(Connection connection, String sql, List<ReadParcel> parcels)
      throws SQLException {
    if (parcels.isEmpty()) {
      return;
    }
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      for (ReadParcel parcel : parcels) {
        statement.setString(1, parcel.site());
        statement.setObject(2, parcel.log());
        statement.setDate(3, parcel.month());
        statement.setString(4, parcel.key(2));
        statement.setLong(5, Long.parseLong(parcel.key(1)));
        statement.setLong(6, PlainTables.time(Long.parseLong(parcel.key(0))));
        if (!parcel.parcel().isWithdrawn()) {
          channels(connection, statement, parcel);
        }
        statement.addBatch();
      }
      statement.executeBatch();
    }
  }

  private static void channels(
      Connection connection, PreparedStatement statement, ReadParcel parcel) throws SQLException {
    array(connection, statement, 7, "text", column(parcel, "channel", String.class));
    array(connection, statement, 8, "bigint", column(parcel, "count", Long.class));
    array(connection, statement, 9, "bigint", column(parcel, "min", Long.class));
    array(connection, statement, 10, "float8", column(parcel, "mean", Number.class));
    array(connection, statement, 11, "bigint", column(parcel, "max", Long.class));
  }

  private static @Nullable Object[] column(ReadParcel parcel, String name, Class<?> type) {
    @Nullable Object[] values = new @Nullable Object[parcel.rows().rows().size()];
    for (int i = 0; i < values.length; i++) {
      values[i] = parcel.rows().value(i, name);
      boolean isMean = !(values[i] instanceof Double mean) || isMean(mean);
      if (values[i] != null && !(type.isInstance(values[i]) && isMean)) {
        throw new StateMismatch(
            "the column "
                + name
                + " holds a value that is not a "
                + type.getSimpleName().toLowerCase(Locale.ROOT));
      }
    }
    return values;
  }

  /** Of up to 10^9 whole numbers. */
  private static boolean isMean(double mean) {
    return mean == 0 || (Math.abs(mean) >= 1e-9 && Math.abs(mean) <= Long.MAX_VALUE);
  }

  private static void array(
      Connection connection,
      PreparedStatement statement,
      int at,
      String type,
      @Nullable Object[] values)
      throws SQLException {
    statement.setArray(at, connection.createArrayOf(type, values));
  }
}
