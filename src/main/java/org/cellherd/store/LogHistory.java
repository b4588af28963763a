package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Consumer;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;

/** The committed log, read in one consistent view a call. Any thread. */
final class LogHistory implements History {

  private static final long HOUR_MS = 3_600_000;

  private static final String OF_RUNS = " WHERE session IN (SELECT id FROM session WHERE run > 0)";

  private static final String NEWEST_OF_RUNS =
      "SELECT max(t) FROM (SELECT max(end_ms) AS t FROM recent"
          + OF_RUNS
          + " UNION ALL SELECT max(end_ms) FROM block"
          + OF_RUNS
          + " UNION ALL SELECT max(to_ms) FROM gap"
          + OF_RUNS
          + " UNION ALL SELECT max(start_ms) FROM session WHERE run > 0)";

  private final Database database;
  private final Consumer<Loss> losses;
  private final Asked asked;

  /**
   * Reads through a connection.
   *
   * @param losses takes what could not be read, each time that it is met
   * @param asked takes what else was read
   */
  LogHistory(Database database, Consumer<Loss> losses, Asked asked) {
    this.database = database;
    this.losses = losses;
    this.asked = asked;
  }

  @Override
  public void replay(String pack, long fromMs, long toMs, Consumer<LogEntry> consumer)
      throws StorageFailure {
    take(pack, fromMs, toMs);
    // The tail first: what moves into the table meanwhile is then seen there and not missed.
    List<ReadingsRow> tail = Tail.read(database.file());
    handOver(
        (c, counted) ->
            new Replay(c, pack, fromMs, toMs, TailRows.missing(c, tail), losses).run(counted),
        consumer);
  }

  @Override
  public void replayAfter(String pack, Snapshot snapshot, long toMs, Consumer<LogEntry> consumer)
      throws StorageFailure {
    take(pack, snapshot.atMs(), toMs);
    List<ReadingsRow> tail = Tail.read(database.file());
    handOver(
        (c, counted) ->
            new Replay(c, pack, snapshot.atMs(), toMs, TailRows.missing(c, tail), losses)
                .after(snapshot.stretch(), counted),
        consumer);
  }

  /** Gives entries to whoever asked for them. */
  private interface Giving {
    void give(Connection connection, Consumer<LogEntry> to) throws SQLException;
  }

  /** Where the file itself is damaged, says how far what was given reaches. */
  private void handOver(Giving giving, Consumer<LogEntry> consumer) throws StorageFailure {
    Handed handed = new Handed(consumer);
    try {
      database.read(
          c -> {
            giving.give(c, handed);
            return true;
          });
    } catch (StorageFailure failure) {
      throw failure.kind() != StorageFailure.Kind.DAMAGED
          ? failure
          : new StorageFailure(
              failure.kind(), failure.getMessage() + "; " + handed.words(), failure);
    }
  }

  private void take(String pack, long fromMs, long toMs) {
    asked.take(SealedTable.GAP, pack, fromMs, toMs);
    // A period with one clock may have begun long before its readings.
    asked.take(SealedTable.SESSION, "", Long.MIN_VALUE, Long.MAX_VALUE);
  }

  @Override
  public List<Finding> findings(String pack, FindingName name, long fromMs, long toMs)
      throws StorageFailure {
    asked.take(SealedTable.FINDING, pack, fromMs, toMs);
    String sql =
        "SELECT %s FROM finding WHERE pack = ? AND name = ? AND to_ms >= ? AND to_ms < ?"
                .formatted(FindingRow.COLUMNS)
            + " ORDER BY to_ms, from_ms";
    return database.read(
        c ->
            Database.rows(
                c, sql, row -> FindingRow.of(name, row), pack, name.word(), fromMs, toMs));
  }

  @Override
  public Optional<Snapshot> snapshot(String pack, String fold, long notAfterMs)
      throws StorageFailure {
    String sql =
        "SELECT at_ms, session, crc, data FROM snapshot WHERE pack = ? AND fold = ? AND at_ms <= ?"
            + " ORDER BY at_ms DESC";
    return database.read(
        c -> {
          try (PreparedStatement statement = Database.prepare(c, sql, pack, fold, notAfterMs);
              ResultSet row = statement.executeQuery()) {
            while (row.next()) {
              byte[] state = row.getBytes(4);
              Optional<byte[]> plain =
                  ReadingsRow.crc(state) == row.getLong(3)
                      ? Deflated.plain(state)
                      : Optional.empty();
              if (plain.isPresent()) {
                SavedState saved = SavedState.ofBytes(plain.get());
                return Optional.of(new Snapshot(row.getLong(1), row.getLong(2), saved));
              }
            }
            return Optional.empty();
          }
        });
  }

  /** When a run first began with a pack. */
  static OptionalLong watchedFromMs(Connection connection, String pack) throws SQLException {
    return Database.number(
        connection,
        "SELECT min(start_ms) FROM session WHERE pack = ? AND kind = ?",
        pack,
        LogSession.Kind.START.word());
  }

  /** The same with what is in the tail. */
  static OptionalLong oldestMs(Database log, String pack) throws StorageFailure {
    LongStream tail = tail(log, pack).mapToLong(ReadingsRow::startMs);
    return LongStream.concat(tail, log.read(c -> oldestMs(c, pack)).stream()).min();
  }

  /** The same with what is in the tail. */
  static OptionalLong newestMs(Database log, String pack) throws StorageFailure {
    LongStream tail = tail(log, pack).mapToLong(ReadingsRow::endMs);
    return LongStream.concat(tail, log.read(c -> newestMs(c, pack)).stream()).max();
  }

  /** To be read before the tables, as a replay does: what moves there meanwhile is seen twice. */
  private static Stream<ReadingsRow> tail(Database log, String pack) {
    return Tail.read(log.file()).stream().filter(row -> row.pack().equals(pack));
  }

  /** Time of the oldest reading of a pack, to the hour where only its hours are kept. */
  static OptionalLong oldestMs(Connection connection, String pack) throws SQLException {
    OptionalLong single =
        Database.number(
            connection,
            "SELECT min(t) FROM (SELECT min(start_ms) AS t FROM recent WHERE pack = ?1"
                + " UNION ALL SELECT min(start_ms) FROM block WHERE pack = ?1)",
            pack);
    OptionalLong hour =
        Database.number(connection, "SELECT min(start_ms) FROM hour WHERE pack = ?1", pack);
    if (hour.isEmpty() || single.isEmpty()) {
      return single.isPresent() ? single : hour;
    }
    boolean sameHour = single.getAsLong() - hour.getAsLong() < HOUR_MS;
    return sameHour ? single : hour;
  }

  /** Time of the newest entry of a pack; empty when there is none. */
  static OptionalLong newestMs(Connection connection, String pack) throws SQLException {
    return Database.number(
        connection,
        "SELECT max(t) FROM (SELECT max(end_ms) AS t FROM recent WHERE pack = ?1"
            + " UNION ALL SELECT max(end_ms) FROM block WHERE pack = ?1"
            + " UNION ALL SELECT max(to_ms) FROM gap WHERE pack = ?1"
            + " UNION ALL SELECT max(start_ms) FROM session WHERE pack = ?1)",
        pack);
  }

  /**
   * No right clock is before this, ms UTC: the beginning of the log, and the newest entry of a run.
   * What was imported may be ahead of the time.
   */
  static long clockFloorMs(Connection connection) throws SQLException {
    return Math.max(
        Database.number(connection, "SELECT min(start_ms) FROM session").orElse(Long.MIN_VALUE),
        Database.number(connection, NEWEST_OF_RUNS).orElse(Long.MIN_VALUE));
  }
}
