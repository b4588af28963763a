package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.Date;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * The months by which the large tables are parted. A parcel's month follows from its key alone, so
 * that it never changes. What has no time, or one before 2015, lies in January 1970.
 */
final class Months {

  /** For what has no month of its own. */
  static final LocalDate NONE = LocalDate.of(1970, 1, 1);

  private static final List<String> TABLES = List.of("parcel", "hour_sum", "day_sum");
  private static final int FIRST_YEAR = 2015;

  private static final String TO_COME =
      "SELECT 1 WHERE ? > date_trunc('month', now()) + interval '1 month'";

  private final Set<LocalDate> there = new HashSet<>();

  /** The month of a time, ms UTC. */
  static LocalDate of(long ms) {
    LocalDate day =
        Instant.ofEpochMilli(Math.max(0, Math.min(ms, 253_402_300_799_999L)))
            .atZone(ZoneOffset.UTC)
            .toLocalDate();
    return day.getYear() >= FIRST_YEAR ? day.withDayOfMonth(1) : NONE;
  }

  /**
   * Makes the partitions of a month where they are not there; in a transaction of its own. False
   * for a month after the next by the server's clock: only a wrong clock of a site gives it, and
   * such clocks must not fill the database with partitions.
   */
  boolean ensure(Centre centre, LocalDate month) throws CentreTrouble {
    if (there.contains(month)) {
      return true;
    }
    if (centre.plain(c -> Centre.number(c, TO_COME, Date.valueOf(month))).isPresent()) {
      return false;
    }
    centre.change(
        c -> {
          CentreSchema.lock(c, CentreSchema.SCHEMA_LOCK);
          for (String table : TABLES) {
            make(c, table, month);
          }
          return true;
        });
    there.add(month);
    return true;
  }

  private static void make(Connection connection, String table, LocalDate month)
      throws SQLException {
    Centre.execute(
        connection,
        String.format(
            "CREATE TABLE IF NOT EXISTS %1$s_%2$04d_%3$02d PARTITION OF %1$s"
                + " FOR VALUES FROM ('%4$s') TO ('%5$s')",
            table, month.getYear(), month.getMonthValue(), month, month.plusMonths(1)));
  }
}
