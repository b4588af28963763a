package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;

/**
 * Gives readings of a pack other times, inside a transaction, and what people were told and wrote
 * then. Findings and saved states that rest on the old ones go.
 */
final class Redater {

  private final Connection connection;
  private final FreeNumbers numbers;
  private final Redating asked;

  /** Works for one request. */
  public Redater(Connection connection, FreeNumbers numbers, Redating asked) {
    this.connection = connection;
    this.numbers = numbers;
    this.asked = asked;
  }

  /**
   * Does it. Where nothing is meant, nothing is changed and 0 readings are told.
   *
   * @throws StorageFailure {@code REFUSED} when the new times overlap others or are still to come
   */
  public Redating.Done apply() throws SQLException, StorageFailure {
    packAll();
    if (asked.stretch().isEmpty()) {
      cut(asked.fromMs());
      cut(asked.toMs());
    }
    List<DatedStretch> before = DatedStretch.of(connection, asked.pack());
    Map<Long, DatedStretch> moving = new LinkedHashMap<>();
    before.stream().filter(this::isMeant).forEach(s -> moving.put(s.id(), s));
    if (moving.values().stream().allMatch(s -> s.readings() == 0)) {
      return new Redating.Done(0, 0, 0, asked.fromMs(), asked.toMs(), 0);
    }
    long from = moving.values().stream().mapToLong(DatedStretch::startMs).min().orElse(0);
    long offset = asked.offsetMs().applyAsLong(from);
    refuse(before, moving, offset);
    tell(before, moving.keySet(), offset);
    Redating.Done done = shift(moving, offset);
    new Order(connection, asked.pack(), before).settle(moving, offset);
    forget(done);
    record(done);
    return done;
  }

  private void packAll() throws SQLException {
    Packer packer = new Packer(connection, numbers);
    String sql = "SELECT count(*) FROM recent WHERE pack = ?";
    while (Database.number(connection, sql, asked.pack()).orElse(0) > 0) {
      packer.firstHour(asked.pack()).orElseThrow().write(connection);
    }
  }

  private void cut(long timeMs) throws SQLException, StorageFailure {
    for (DatedStretch stretch : DatedStretch.of(connection, asked.pack())) {
      if (stretch.startMs() < timeMs && timeMs <= stretch.endMs()) {
        new StretchCut(connection, numbers, asked.pack()).at(stretch, timeMs);
        // The ranks of the others are others now.
        cut(timeMs);
        return;
      }
    }
  }

  private boolean isMeant(DatedStretch stretch) {
    return asked.stretch().isPresent()
        ? stretch.id() == asked.stretch().getAsLong()
        : stretch.startMs() >= asked.fromMs() && stretch.startMs() < asked.toMs();
  }

  private void refuse(List<DatedStretch> all, Map<Long, DatedStretch> moving, long offset)
      throws StorageFailure {
    for (DatedStretch each : moving.values()) {
      DatedStretch moved = each.movedBy(offset);
      if (moved.endMs() > asked.atMs()) {
        throw refused(
            "the readings would reach to "
                + Instant.ofEpochMilli(moved.endMs())
                + ", later than now");
      }
      for (DatedStretch other : all) {
        if (!moving.containsKey(other.id()) && other.readings() > 0 && moved.overlaps(other)) {
          throw refused(
              "the readings would lie among those of period "
                  + other.id()
                  + ", "
                  + Instant.ofEpochMilli(other.startMs())
                  + " to "
                  + Instant.ofEpochMilli(other.endMs()));
        }
      }
    }
  }

  private static StorageFailure refused(String why) {
    return new StorageFailure(Kind.REFUSED, why + "; nothing was changed");
  }

  private void tell(List<DatedStretch> before, Set<Long> moving, long offset) throws SQLException {
    Map<Long, Long> offsets = new HashMap<>();
    moving.forEach(id -> offsets.put(id, offset));
    new ToldTimes(connection, asked.pack(), LogSession.of(connection, asked.pack()), offsets)
        .shift();
    Database.each(
        connection,
        "SELECT id, at_ms FROM note WHERE pack = ?",
        note -> {
          if (isOf(before, moving, note.getLong(2))) {
            Database.update(
                connection,
                "UPDATE note SET at_ms = at_ms + ? WHERE id = ?",
                offset,
                note.getLong(1));
          }
        },
        asked.pack());
  }

  /** A note belongs to the readings among which it lies; where others do so too, it stays. */
  private static boolean isOf(List<DatedStretch> all, Set<Long> moving, long ms) {
    List<DatedStretch> around =
        all.stream().filter(s -> s.readings() > 0 && s.startMs() <= ms && ms <= s.endMs()).toList();
    return !around.isEmpty() && around.stream().allMatch(s -> moving.contains(s.id()));
  }

  private Redating.Done shift(Map<Long, DatedStretch> moving, long offset) throws SQLException {
    long gaps = 0;
    for (DatedStretch stretch : moving.values()) {
      gaps += new Shift(connection, asked.pack(), stretch.id()).by(offset);
    }
    List<DatedStretch> with = new ArrayList<>(moving.values());
    with.removeIf(s -> s.readings() == 0);
    return new Redating.Done(
        with.stream().mapToLong(DatedStretch::readings).sum(),
        with.size(),
        gaps,
        with.stream().mapToLong(DatedStretch::startMs).min().orElse(0),
        with.stream().mapToLong(DatedStretch::endMs).max().orElse(0),
        offset);
  }

  /** Findings from before the single readings that are kept cannot be made anew: they stay. */
  private void forget(Redating.Done done) throws SQLException {
    Database.update(connection, "DELETE FROM snapshot WHERE pack = ?", asked.pack());
    long kept =
        Database.number(connection, "SELECT min(start_ms) FROM block WHERE pack = ?", asked.pack())
            .orElse(Long.MAX_VALUE);
    for (long offset : new long[] {0, done.offsetMs()}) {
      Database.update(
          connection,
          "DELETE FROM finding WHERE pack = ? AND from_ms >= ? AND from_ms <= ? AND to_ms >= ?",
          asked.pack(),
          Math.min(kept, done.fromMs()),
          done.toMs() + offset,
          done.fromMs() + offset);
    }
  }

  private void record(Redating.Done done) throws SQLException {
    Database.update(
        connection,
        "INSERT INTO redating(pack, at_ms, by, from_ms, to_ms, offset_ms, readings, stretches,"
            + " gaps) VALUES (?,?,?,?,?,?,?,?,?)",
        asked.pack(),
        asked.atMs(),
        asked.byWhom(),
        done.fromMs(),
        done.toMs(),
        done.offsetMs(),
        done.readings(),
        done.stretches(),
        done.gaps());
  }
}
