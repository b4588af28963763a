package org.cellherd.store;

import java.util.HashSet;
import java.util.Set;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/** The times of the readings that a stretch has, an hour at a time. Belongs to one thread. */
final class TimesThere {
  private final Database database;
  private final Set<Long> times = new HashSet<>();
  private @Nullable StretchHour hour;
  private boolean isDamaged;

  TimesThere(Database database) {
    this.database = database;
  }

  /** True when the stretch has a reading of a time in an hour. */
  boolean has(StretchHour asked, long timeMs) throws StorageFailure {
    look(asked);
    return times.contains(timeMs);
  }

  /** True when some readings of that hour are there and cannot be read. */
  boolean isDamaged(StretchHour asked) throws StorageFailure {
    look(asked);
    return isDamaged;
  }

  private void look(StretchHour asked) throws StorageFailure {
    if (asked.equals(hour)) {
      return;
    }
    times.clear();
    isDamaged = false;
    for (ReadingsRow row : database.read(asked::rows)) {
      BlocksAhead.Unpacked unpacked = BlocksAhead.unpack(row);
      isDamaged |= unpacked.damage().isPresent();
      unpacked.readings().forEach(reading -> times.add(reading.timeMs()));
    }
    hour = asked;
  }
}
