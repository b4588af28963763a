package org.cellherd.store;

import java.util.Locale;

/** A table whose rows are sealed, some fifty together. */
enum SealedTable {
  ALERT("seq", "since_ms", "time_ms"),
  EVENT("seq", "time_ms", "time_ms"),
  ACKNOWLEDGEMENT("at_ms", "at_ms"),
  SESSION("start_ms", "start_ms"),
  GAP("from_ms", "to_ms"),
  FINDING("from_ms", "to_ms"),
  NOTE("at_ms", "at_ms"),
  NOTE_CHANGE("at_ms", "at_ms"),
  REDATING("from_ms", "to_ms"),
  BOARD("since_ms", "since_ms"),
  /** Parts of three days of one channel. */
  HOUR(28),
  /** Parts of three months of one channel. */
  DAY(33);

  private final String from;
  private final String to;
  private final String key;
  private final int shift;

  SealedTable(String from, String to) {
    this("id", from, to);
  }

  SealedTable(String key, String from, String to) {
    this.from = from;
    this.to = to;
    this.key = key;
    this.shift = 6;
  }

  SealedTable(int shift) {
    this.from = "start_ms";
    this.to = "start_ms";
    this.key = "start_ms";
    this.shift = shift;
  }

  public String table() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** True for a table that SQLite can check against an index. */
  boolean isNumbered() {
    return !key.equals("start_ms");
  }

  /** A part that comes before all. */
  SealedPart start() {
    return new SealedPart(this, "", "", Long.MIN_VALUE);
  }

  /** The part in which a row lies, by the last column of its key. */
  SealedPart part(String pack, String channel, long number) {
    return new SealedPart(this, pack, channel, number >> shift);
  }

  long first(SealedPart part) {
    return part.number() << shift;
  }

  long last(SealedPart part) {
    return first(part) + (1L << shift) - 1;
  }

  /** The first key behind a part: pack, channel, number. */
  String next() {
    return isNumbered()
        ? String.format(
            Locale.ROOT,
            "SELECT '', '', %1$s FROM %2$s WHERE ?1 = ?2 AND %1$s > ?3 ORDER BY %1$s LIMIT 1",
            key,
            table())
        : "SELECT pack, channel, start_ms FROM "
            + table()
            + " WHERE (pack, channel, start_ms) > (?1, ?2, ?3)"
            + " ORDER BY pack, channel, start_ms LIMIT 1";
  }

  /** Times and all columns of the rows of a part. */
  String rows() {
    return "SELECT "
        + from
        + ", "
        + to
        + ", * FROM "
        + table()
        + " WHERE "
        + (isNumbered() ? "?1 = ?2" : "pack = ?1 AND channel = ?2")
        + " AND "
        + key
        + " BETWEEN ?3 AND ?4";
  }
}
