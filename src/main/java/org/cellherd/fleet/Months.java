package org.cellherd.fleet;

import java.sql.Date;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.cellherd.json.IsoTime;
import org.cellherd.store.sql.Database;

/**
 * The months by which the large tables are parted. What has no time, or one that only a wrong clock
 * gives (before 2015, or after the next month by the server's own clock), lies in January 1970, so
 * that no site can fill the database with partitions. When a month comes, what lay there of it
 * moves: where a parcel lies follows from its key and the partitions that there are.
 */
final class Months {

  /** For what has no month of its own. */
  static final LocalDate NONE = LocalDate.of(1970, 1, 1);

  private static final int FIRST_YEAR = 2015;

  /**
   * Runs with the rights of the owner: a gatherer needs none to make tables. False for a month to
   * come. Keys of sites are compared as numbers only, for one may be beyond all times.
   */
  static final List<String> READY =
      List.of(
          """
          CREATE FUNCTION month_ready(wanted date) RETURNS boolean LANGUAGE plpgsql
          SECURITY DEFINER SET search_path = cellherd, pg_temp AS $$
          DECLARE
            part text := to_char(wanted, '_YYYY_MM');
            upto date := wanted + interval '1 month';
            first bigint := extract(epoch FROM wanted) * 1000;
            past bigint := extract(epoch FROM upto) * 1000;
            name text;
            ms text;
          BEGIN
            IF to_regclass('parcel' || part) IS NOT NULL THEN RETURN true; END IF;
            IF extract(day FROM wanted) <> 1 OR wanted > now() + interval '1 month'
              OR (wanted < '2015-01-01' AND wanted <> '1970-01-01') THEN RETURN false; END IF;
            PERFORM pg_advisory_xact_lock(%d, %d);
            FOREACH name IN ARRAY ARRAY['parcel', 'hour_sum', 'day_sum'] LOOP
              EXECUTE format('CREATE TABLE IF NOT EXISTS %%I PARTITION OF %%I FOR VALUES'
                || ' FROM (%%L) TO (%%L)', name || part, name, wanted, upto);
              ms := CASE name WHEN 'parcel' THEN 'CASE WHEN kind = ''block'''
                || ' THEN split_part(key, ''/'', 2)::bigint WHEN kind IN (''hour'', ''day'','
                || ' ''finding'') THEN split_part(key, ''/'', 1)::bigint END' ELSE 'start_ms' END;
              EXECUTE format('UPDATE %%I SET month = %%L WHERE month = ''1970-01-01'''
                || ' AND %%s >= %%s AND %%s < %%s', name, wanted, ms, first, ms, past);
            END LOOP;
            RETURN true;
          END $$"""
              .formatted(CentreSchema.LOCKS, CentreSchema.SCHEMA_LOCK),
          "REVOKE EXECUTE ON FUNCTION month_ready(date) FROM PUBLIC",
          "SELECT month_ready('1970-01-01')");

  private static final String AHEAD =
      "SELECT count(month_ready((date_trunc('month', now()) + m * interval '1 month')::date))"
          + " FROM generate_series(0, 1) AS m";

  private final Set<LocalDate> there = new HashSet<>(Set.of(NONE));

  /** The month of a time, ms UTC. */
  private static LocalDate of(long ms) {
    LocalDate day =
        Instant.ofEpochMilli(Math.max(0, Math.min(ms, IsoTime.LAST_MS)))
            .atZone(ZoneOffset.UTC)
            .toLocalDate();
    return day.getYear() >= FIRST_YEAR ? day.withDayOfMonth(1) : NONE;
  }

  /** Where the newest month of days of a pack lies that was last heard at a time, ms UTC. */
  static Set<LocalDate> lately(long heardMs) {
    LocalDate last = of(heardMs);
    // Times of a wrong clock lie in none of their own.
    return last.equals(NONE) ? Set.of(NONE) : Set.of(NONE, last.minusMonths(1), last);
  }

  /** Makes the partitions of this month and the next: making them locks out who stores. */
  void ahead(Centre centre) throws CentreTrouble {
    centre.change(c -> Database.number(c, AHEAD));
  }

  /** In which month a time lies, ms UTC; its partitions are made where they are not there. */
  LocalDate place(Centre centre, long ms) throws CentreTrouble {
    LocalDate month = of(ms);
    if (!there.contains(month)) {
      String ready = "SELECT month_ready(?)::int";
      if (centre.change(c -> Database.number(c, ready, Date.valueOf(month))).orElse(0) == 0) {
        return NONE;
      }
      there.add(month);
    }
    return month;
  }
}
