package org.cellherd.app.verb;

import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.jspecify.annotations.Nullable;

/** The newest reading that a log holds of a pack. */
final class NewestReading {

  /** Behind it may lie a silence; most often there is none. */
  private static final long FIRST_LOOK_MS = TimeUnit.MINUTES.toMillis(10);

  private NewestReading() {}

  /** Empty when the log holds none. */
  public static Optional<Reading> of(LogFile file, String pack) throws StorageFailure {
    OptionalLong newest = file.newestMs(pack);
    OptionalLong oldest = file.oldestMs(pack);
    if (newest.isEmpty() || oldest.isEmpty()) {
      return Optional.empty();
    }
    long end = newest.getAsLong() + 1;
    Optional<Reading> found = Optional.empty();
    for (long look = FIRST_LOOK_MS; found.isEmpty(); look *= 16) {
      found = last(file, pack, end - look, end);
      if (end - look <= oldest.getAsLong()) {
        return found;
      }
    }
    return found;
  }

  private static Optional<Reading> last(LogFile file, String pack, long fromMs, long toMs)
      throws StorageFailure {
    @Nullable Reading[] last = {null};
    file.history()
        .replay(
            pack,
            fromMs,
            toMs,
            entry -> {
              if (entry instanceof Reading reading) {
                last[0] = reading;
              }
            });
    return Optional.ofNullable(last[0]);
  }
}
