package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.cellherd.store.sql.ParcelKind;
import org.jspecify.annotations.Nullable;

/** Statistics of all channels over an hour or a day, a row each, as arrays of equal order. */
enum SumTable {
  HOURS("hour_sum", ParcelKind.HOUR),
  DAYS("day_sum", ParcelKind.DAY);

  private static final String ROWS =
      "unnest(?::text[], ?::text[]::uuid[], ?::text[]::date[], ?::text[], ?::bigint[],"
          + " ?::bigint[]";

  /**
   * All channels of all rows come one after the other: those of a row are a slice. To seek in an
   * array of texts is to walk it, so that names that many rows share come once.
   */
  private static final String PUT =
      " (channel, count, min, mean, max, site, log, month, pack, session, start_ms)"
          + " SELECT (?::text[])[n:n + b - a], (?::bigint[])[a:b], (?::bigint[])[a:b],"
          + " (?::float8[])[a:b], (?::bigint[])[a:b], site, log, month, pack, session, start_ms"
          + " FROM "
          + ROWS
          + ", ?::bigint[], ?::bigint[], ?::bigint[])"
          + " AS r(site, log, month, pack, session, start_ms, n, a, b)"
          + " ON CONFLICT (site, log, month, pack, session, start_ms) DO UPDATE SET"
          + " channel = excluded.channel, count = excluded.count, min = excluded.min,"
          + " mean = excluded.mean, max = excluded.max";

  private static final String WITHDRAW =
      " t USING "
          + ROWS
          + ") AS r(site, log, month, pack, session, start_ms) WHERE t.site = r.site"
          + " AND t.log = r.log AND t.month = r.month AND t.pack = r.pack"
          + " AND t.session = r.session AND t.start_ms = r.start_ms";

  private final String table;
  private final ParcelKind kind;

  SumTable(String table, ParcelKind kind) {
    this.table = table;
    this.kind = kind;
  }

  /**
   * A row of the table.
   *
   * @param names place of the name of its first channel among all names, from 1
   * @param first place of its first channel among those of all rows, from 1
   * @param last place of its last channel; before the first where it has none
   */
  private record Row(ReadParcel parcel, long names, long first, long last) {}

  /** Brings the table up to date with some parcels of any kind: of one row the last counts. */
  void write(Connection connection, List<ReadParcel> parcels) throws SQLException {
    Changes changes =
        Changes.of(parcels, kind, p -> List.of(p.key(2), SumTable.session(p), SumTable.startMs(p)));
    PlainTables.run(
        connection,
        "DELETE FROM " + table + WITHDRAW,
        changes.withdrawn(),
        arrays -> keys(arrays, row -> row));
    List<Row> rows = new ArrayList<>();
    List<@Nullable String> names = new ArrayList<>();
    Map<List<@Nullable String>, Long> places = new HashMap<>();
    long last = 0;
    for (ReadParcel each : changes.put()) {
      List<@Nullable String> own = each.sums().channels();
      Long place = places.putIfAbsent(own, names.size() + 1L);
      if (place == null) {
        place = names.size() + 1L;
        names.addAll(own);
      }
      rows.add(new Row(each, place, last + 1, last + own.size()));
      last += own.size();
    }
    PlainTables.run(
        connection, "INSERT INTO " + table + PUT, rows, arrays -> columns(arrays, rows, names));
  }

  private static long session(ReadParcel parcel) {
    return Long.parseLong(parcel.key(1));
  }

  private static long startMs(ReadParcel parcel) {
    return PlainTables.time(Long.parseLong(parcel.key(0)));
  }

  private static RowArrays<Row> columns(RowArrays<Row> arrays, List<Row> rows, List<?> names)
      throws SQLException {
    RowArrays<Row> values =
        arrays
            .whole("text", names.toArray(new @Nullable String[0]))
            .whole("bigint", all(rows, ChannelSums::counts).toArray(new @Nullable Long[0]))
            .whole("bigint", all(rows, ChannelSums::mins).toArray(new @Nullable Long[0]))
            .whole("float8", all(rows, ChannelSums::means).toArray(new @Nullable Double[0]))
            .whole("bigint", all(rows, ChannelSums::maxs).toArray(new @Nullable Long[0]));
    return keys(values, Row::parcel).longs(Row::names).longs(Row::first).longs(Row::last);
  }

  private static <T> RowArrays<T> keys(RowArrays<T> arrays, Function<T, ReadParcel> of)
      throws SQLException {
    return arrays
        .texts(row -> of.apply(row).site())
        .texts(row -> of.apply(row).log().toString())
        .texts(row -> of.apply(row).month().toString())
        .texts(row -> of.apply(row).key(2))
        .longs(row -> session(of.apply(row)))
        .longs(row -> startMs(of.apply(row)));
  }

  private static <V> List<V> all(List<Row> rows, Function<ChannelSums, List<V>> column) {
    List<V> values = new ArrayList<>();
    rows.forEach(row -> values.addAll(column.apply(row.parcel().sums())));
    return values;
  }
}
