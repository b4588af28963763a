package org.cellherd.store.sql;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.pack.Worded;

/**
 * The tables that a centre gets, by what one parcel of each is: all rows with the same key. What is
 * only this computer's concern (whether a broker had an event, which states were saved) stays here.
 */
public enum ParcelKind implements Worded {
  /** A stretch with one clock. */
  SESSION("session", "id", "id pack rank run kind start_ms from_ms clock_sure clean ended"),
  GAP("gap", "id", "id pack session after_ms from_ms to_ms cause"),
  ALERT("alert", "id", "id stands " + Columns.OF_ALERTS),
  EVENT("event", "id", "id change alert_id " + Columns.OF_ALERTS),
  ACKNOWLEDGEMENT("acknowledgement", "id", "id alert_id by at_ms"),
  FINDING("finding", "to_ms from_ms name pack", "pack name from_ms to_ms facts sentence"),
  /** What people say. */
  NOTE("note", "id", "id pack at_ms by text"),
  /** What a note says since. */
  NOTE_CHANGE("note_change", "id", "id note_id at_ms by text"),
  /** Readings that were given other times. */
  REDATING("redating", "id", "id pack at_ms by from_ms to_ms offset_ms readings stretches gaps"),
  BOARD("board", "id", "id pack identity since_ms"),
  DAY("day", "start_ms session pack", Columns.OF_STATISTICS),
  HOUR("hour", "start_ms session pack", Columns.OF_STATISTICS),
  BLOCK("block", "id start_ms", "id pack session start_ms end_ms crc data");

  /** Long lists that two tables share. */
  private static final class Columns {
    static final String OF_ALERTS =
        "pack rule cell state priority since_ms time_ms value limit_value unit text first_step"
            + " evidence acknowledged_by clock_sure";
    static final String OF_STATISTICS =
        "pack channel session start_ms count min mean max first last";
  }

  private final String table;
  private final List<String> key;
  private final List<String> columns;

  ParcelKind(String table, String key, String columns) {
    this.table = table;
    this.key = Arrays.asList(key.split(" "));
    this.columns = Arrays.asList(columns.split(" "));
  }

  /** The table's name, which is the kind's word too. */
  @Override
  public String word() {
    return table;
  }

  /** The columns that tell one parcel from another; a pack's id is the last. */
  public List<String> keyColumns() {
    return key;
  }

  /** All columns that are handed over. */
  public List<String> columns() {
    return columns;
  }

  /** The column that tells in which order the table got its rows, or that orders those of a key. */
  public String order() {
    return columns.contains("channel") ? "channel" : "rowid";
  }

  /** How many parts a key has. */
  public int keyParts() {
    return key.size();
  }

  /** The key of a row in SQL; {@code row} is "NEW.", "OLD." or "". */
  public String keyOf(String row) {
    return key.stream().map(column -> row + column).collect(Collectors.joining(" || '/' || "));
  }

  /**
   * The time that is part of a key, ms UTC, by which a centre may part its tables: a parcel with
   * another time is another parcel. 0 for kinds whose key has none.
   */
  public long keyMs(String keyText) {
    int at = this == BLOCK ? 1 : 0;
    if (!key.get(at).endsWith("_ms")) {
      return 0;
    }
    String[] parts = keyText.split("/", key.size());
    try {
      if (parts.length == key.size()) {
        return Long.parseLong(parts[at]);
      }
    } catch (NumberFormatException none) {
      // Said below.
    }
    throw new IllegalArgumentException("\"" + keyText + "\" is no key of " + table);
  }
}
