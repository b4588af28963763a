package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ForkJoinPool;
import java.util.concurrent.ForkJoinTask;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Stretches.Stretch;
import org.cellherd.store.codec.BlockCodec;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;

/**
 * Brings many readings of one pack into the log at once, straight into blocks. Older readings than
 * the log's come before them in replay, or among them where those were imported, too. Close it to
 * store the last hour. Belongs to one thread.
 */
public final class Importer implements AutoCloseable {

  /** Blocks in one transaction: a few MB of work between two syncs. */
  private static final int BLOCKS_A_COMMIT = 64;

  /** Hours being packed on other processors: some 1 MB of readings each, at 1 Hz. */
  private static final int MOST_PACKING = 4;

  private final Database database;
  private final FreeNumbers numbers;
  private final String pack;
  private final Stretches stretches;
  private final Deque<ForkJoinTask<WaitingRow>> packing = new ArrayDeque<>();
  private final List<WaitingRow> ready = new ArrayList<>();
  private final Set<Long> grown = new HashSet<>();
  private final TimesThere there;
  private List<Reading> hour = new ArrayList<>();
  private @Nullable LogSession anchor;
  private @Nullable StretchHour amidHour;
  private final List<Reading> amid = new ArrayList<>();
  private long anchorMs = GapRow.BEFORE_ALL;
  private long lastMs = GapRow.BEFORE_ALL;
  private long stored;
  private long doubled;
  private long outOfOrder;
  private long watched;
  private long amongDamaged;

  Importer(Database database, FreeNumbers numbers, String pack) throws StorageFailure {
    this.database = database;
    this.numbers = numbers;
    this.pack = pack;
    this.stretches = database.read(c -> new Stretches(c, pack));
    this.there = new TimesThere(database);
  }

  /**
   * Takes a reading; the file's order is expected to be that of time.
   *
   * @return true when it is stored, else {@link #counts} says why not
   */
  public boolean add(Reading reading) throws StorageFailure {
    long timeMs = reading.timeMs();
    long before = stored;
    Optional<Stretch> over = stretches.over(timeMs);
    if (over.isPresent()) {
      add(reading, over.get());
    } else if (timeMs == lastMs) {
      doubled++;
    } else if (timeMs < lastMs) {
      outOfOrder++;
    } else {
      addBeside(reading);
    }
    return stored > before;
  }

  /** Takes a reading at a time that a stretch reaches over. */
  private void add(Reading reading, Stretch over) throws StorageFailure {
    long timeMs = reading.timeMs();
    StretchHour at = StretchHour.at(pack, over.id(), timeMs);
    if (timeMs == lastMs || there.has(at, timeMs)) {
      doubled++;
    } else if (timeMs < lastMs) {
      outOfOrder++;
    } else if (!over.isImported()) {
      watched++;
    } else if (there.isDamaged(at)) {
      amongDamaged++;
    } else {
      if (!at.equals(amidHour)) {
        sealAmid();
        amidHour = at;
      }
      amid.add(reading);
      took(timeMs);
    }
  }

  private void addBeside(Reading reading) throws StorageFailure {
    long timeMs = reading.timeMs();
    if (anchor == null || stretches.beginsWithin(anchorMs, timeMs)) {
      begin(timeMs);
    } else if (hour.size() >= BlockCodec.MAX_READINGS
        || PackStream.hourOf(timeMs) != PackStream.hourOf(anchorMs)) {
      seal();
    }
    hour.add(reading);
    anchorMs = timeMs;
    took(timeMs);
  }

  private void took(long timeMs) throws StorageFailure {
    if (stored == 0) {
      // States from after here do not know what is brought in.
      database.write(
          c ->
              Database.update(
                  c, "DELETE FROM snapshot WHERE pack = ? AND at_ms > ?", pack, timeMs));
    }
    lastMs = timeMs;
    stored++;
  }

  public Counts counts() {
    return new Counts(stored, doubled, outOfOrder, watched, amongDamaged);
  }

  private void begin(long timeMs) throws StorageFailure {
    seal();
    flush();
    long before = stretches.rankAfter(timeMs);
    anchor = database.change(c -> placed(c, timeMs, before));
    stretches.movedUp(before);
  }

  /** A new stretch in front of the one with a rank, or behind all. */
  private LogSession placed(Connection connection, long timeMs, long before) throws SQLException {
    // Also where the others move up: the highest rank moves with them.
    long highest = numbers.nextRank();
    long rank = before == Long.MAX_VALUE ? highest : before;
    Database.update(connection, "UPDATE session SET rank = rank + 1 WHERE rank >= ?", rank);
    LogSession next =
        new LogSession(
            numbers.nextSession(),
            pack,
            rank,
            0,
            LogSession.Kind.PLAIN,
            timeMs,
            timeMs,
            true,
            Before.ENDED);
    next.write(connection);
    return next;
  }

  private void seal() throws StorageFailure {
    LogSession current = anchor;
    if (hour.isEmpty() || current == null) {
      return;
    }
    List<Reading> readings = hour;
    hour = new ArrayList<>(readings.size());
    packing.add(
        ForkJoinPool.commonPool().submit(() -> new HourOfReadings(pack, current.id(), readings)));
    if (packing.size() >= MOST_PACKING) {
      ready.add(packing.remove().join());
    }
    if (ready.size() >= BLOCKS_A_COMMIT) {
      flush();
    }
  }

  private void sealAmid() throws StorageFailure {
    StretchHour at = amidHour;
    if (amid.isEmpty() || at == null) {
      return;
    }
    ready.add(new HourAmid(at, amid));
    grown.add(at.session());
    amid.clear();
    if (ready.size() >= BLOCKS_A_COMMIT) {
      flush();
    }
  }

  private void flush() throws StorageFailure {
    while (!packing.isEmpty()) {
      ready.add(packing.remove().join());
    }
    if (ready.isEmpty()) {
      return;
    }
    database.write(
        c -> {
          for (WaitingRow block : ready) {
            block.write(c);
          }
          for (long session : grown) {
            new DayRows(c).rebuild(pack, session);
          }
        });
    ready.clear();
    grown.clear();
  }

  /** Stores what is left. */
  @Override
  public void close() throws StorageFailure {
    seal();
    sealAmid();
    flush();
  }

  /**
   * What became of the rows of an import.
   *
   * @param stored readings that are now in the log
   * @param doubled not stored: the log or the file has a reading of that time
   * @param outOfOrder not stored: older than one before them in the file
   * @param watched not stored: a run of the daemon watched at that time and has no such reading
   * @param amongDamaged not stored: what the log has of that hour cannot be read
   */
  public record Counts(
      long stored, long doubled, long outOfOrder, long watched, long amongDamaged) {}
}
