package org.cellherd.fleet;

import java.util.List;

/** What other tools read: plain columns, times as times, values in the unit of their channel. */
final class CentreViews {

  /** Stored whole numbers a unit, by the channel's name. */
  private static final String SCALE =
      " CROSS JOIN LATERAL (SELECT CASE WHEN c.channel LIKE 'cell%' THEN 10000.0"
          + " WHEN c.channel LIKE 'temp%' OR c.channel = 'soc_pct' THEN 10.0"
          + " WHEN c.channel IN ('pack_v', 'current_a', 'board_ah') THEN 1000.0"
          + " ELSE 1.0 END::float8 AS scale) s";

  static final List<String> ALL =
      List.of(
          statistics("hours", "hour_sum"),
          statistics("days", "day_sum"),
          "CREATE VIEW alerts AS SELECT site, log, pack, rule, cell, state, priority, stands,"
              + " to_timestamp(since_ms / 1000.0) AS since, to_timestamp(time_ms / 1000.0) AS time,"
              + " text, first_step, acknowledged_by FROM alert",
          "CREATE VIEW findings AS SELECT site, log, pack, name, to_timestamp(from_ms / 1000.0)"
              + " AS since, to_timestamp(to_ms / 1000.0) AS time, sentence, facts FROM finding");

  private CentreViews() {}

  private static String statistics(String view, String table) {
    return "CREATE VIEW "
        + view
        + " AS SELECT t.site, t.log, t.month, t.pack, to_timestamp(t.start_ms / 1000.0) AS time,"
        + " c.channel, c.count, c.min / scale AS min, c.mean / scale AS mean, c.max / scale AS max"
        + " FROM "
        + table
        + " t CROSS JOIN LATERAL unnest(t.channel, t.count, t.min, t.mean, t.max)"
        + " AS c(channel, count, min, mean, max)"
        + SCALE;
  }
}
