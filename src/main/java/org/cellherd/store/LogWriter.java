package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Identity;
import org.cellherd.store.sql.StoreSettings;
import org.jspecify.annotations.Nullable;

/**
 * Writes the log. Belongs to one thread. Entries gather in memory until {@link #commit}; after a
 * failure they wait, newest first to stay, and the next commit tries again.
 */
public final class LogWriter {

  /**
   * Hours packed at a commit, so that many packs do not all stop the thread at the full hour. They
   * are written together: their rows lie mixed, and each page of them would else be written anew
   * for every pack.
   */
  private static final int HOURS_A_COMMIT = 2;

  /** A silence that only grows is written less often: what may be lost is its latest minute. */
  private static final long GAP_AT_RISK_MS = 60_000;

  /** Readings stay in the tail that long at most. */
  private static final long TABLE_MS = 1_800_000;

  private static final long NEVER = Long.MIN_VALUE;

  private final Database database;
  private final LogAlerts alerts;
  private final StoreSettings settings;
  private final long atRiskMs;
  private final Reports reports;
  private int identity;
  private final FreeNumbers numbers;
  private final WaitingRows waiting;
  private final Map<String, PackStream> streams = new HashMap<>();
  private final Map<String, OpenHour> openHours = new HashMap<>();
  private final Map<String, Optional<PackedHour>> packedHours = new LinkedHashMap<>();
  private @Nullable Salvage salvage;
  private long atRiskSinceMs = NEVER;
  private long waitingSinceMs = NEVER;
  private @Nullable Tail tail;
  private long run;
  private long runsBefore;

  /** The first hour of a pack that is not packed yet. */
  private record OpenHour(long session, long hour) {
    static OpenHour of(long session, long startMs) {
      return new OpenHour(session, PackStream.hourOf(startMs));
    }
  }

  LogWriter(Database database, LogAlerts alerts, StoreSettings settings, Reports reports)
      throws StorageFailure {
    this.database = database;
    this.alerts = alerts;
    this.settings = settings;
    this.atRiskMs = settings.atRiskMs();
    this.reports = reports;
    this.identity = database.read(Identity::of);
    this.numbers = database.read(FreeNumbers::new);
    this.waiting = new WaitingRows(settings.bufferBytes(), numbers);
    database.read(
        c -> {
          loadOpenHours(c);
          return true;
        });
  }

  /** Takes an entry of a pack, in order of happening. It lasts after the next commit. */
  public void append(String pack, LogEntry entry) {
    if (entry instanceof SessionStart start) {
      run = start.session();
    }
    stream(pack).accept(entry);
  }

  /** Takes a finding; one over the same stretch replaces the older. Lasts after the next commit. */
  public void save(String pack, Finding finding) {
    waiting.add(new FindingRow(pack, finding));
  }

  /**
   * Takes what was found when all readings of a pack were read again: it takes the place of what
   * was found in them before, by another version or other settings. Lasts after the next commit.
   *
   * @param names kinds of which each finding is among those found
   */
  public void saveAgain(String pack, Collection<FindingName> names, List<Finding> found) {
    names.forEach(name -> waiting.add(FindingRow.again(pack, name)));
    found.forEach(finding -> save(pack, finding));
  }

  /**
   * Takes the state of a fold that has seen exactly the entries before a time. It is committed
   * together with those entries, so that a state is never newer than its log.
   *
   * @param fold name of the fold
   * @param atMs replay from this state begins here, ms UTC
   */
  public void saveSnapshot(String pack, String fold, long atMs, SavedState state) {
    PackedBytes bytes = new PackedBytes(Deflated.of(state.bytes()));
    waiting.addSnapshot(new SnapshotRow(pack, fold, atMs, stream(pack).session(), bytes));
  }

  /**
   * Makes what waits durable when the oldest of it has waited as long as may be at risk. Readings
   * alone go into the tail, and into the table every few minutes; anything else goes into the table
   * at once, and the readings with it.
   *
   * @param monotonicMs a clock that never steps; only differences count
   * @return true when something was made durable
   */
  public boolean commitIfDue(long monotonicMs) throws StorageFailure {
    boolean batches = streams.values().stream().anyMatch(PackStream::hasBatch);
    if (!batches && waiting.isEmpty()) {
      return false;
    }
    if (!batches && !waiting.isAtRisk()) {
      atRiskSinceMs = NEVER;
    } else if (atRiskSinceMs == NEVER) {
      atRiskSinceMs = monotonicMs;
    }
    if (waitingSinceMs == NEVER) {
      waitingSinceMs = monotonicMs;
    }
    long allowed = !batches && waiting.isOnlyGaps() ? Math.max(atRiskMs, GAP_AT_RISK_MS) : atRiskMs;
    boolean due = atRiskSinceMs != NEVER && monotonicMs - atRiskSinceMs >= allowed;
    boolean tableDue = monotonicMs - waitingSinceMs >= TABLE_MS;
    if (!due && !(tableDue && atRiskSinceMs == NEVER)) {
      return false;
    }
    // Counted from here also after a failure, so that a full disk is not tried at every reading.
    atRiskSinceMs = monotonicMs;
    streams.values().forEach(PackStream::seal);
    boolean safe = waiting.isOnlyReadings() && database.isWritable() && appendToTail();
    if (tableDue || !safe || salvage != null || !packsWithAFinishedHour().isEmpty()) {
      commit();
    } else {
      atRiskSinceMs = NEVER;
    }
    return true;
  }

  /** False when the tail is full or cannot be written; the table takes the rows then. */
  private boolean appendToTail() {
    if (database.standsIn() || !database.isInPlace()) {
      return false;
    }
    try {
      if (tail != null && !tail.isInPlace()) {
        leaveTail(tail);
        return false;
      }
      if (tail == null) {
        tail = Tail.open(database.file(), identity);
      }
      List<ReadingsRow> rows = waiting.untailed();
      if (!rows.isEmpty() && !tail.append(rows)) {
        return false;
      }
    } catch (StorageFailure e) {
      System.getLogger(LogWriter.class.getName())
          .log(System.Logger.Level.DEBUG, "without a tail: {0}", e.getMessage());
      return false;
    }
    waiting.allTailed();
    return true;
  }

  /** What was in a tail that is gone is only here now, and what took its name is another's. */
  private void leaveTail(Tail gone) throws StorageFailure {
    gone.close();
    tail = null;
    waiting.noneTailed();
    reports.add(
        Tail.file(database.file())
            + " was moved, removed or replaced while it was open; readings are written to the log"
            + " itself."
            + Replacement.setAside(Tail.file(database.file())));
  }

  /** Makes everything appended so far durable in its tables, and packs hours that are complete. */
  public void commit() throws StorageFailure {
    streams.values().forEach(PackStream::seal);
    List<String> due = packsWithAFinishedHour();
    if (!waiting.isEmpty() || !due.isEmpty() || salvage != null) {
      write(due);
      committed(packedHours.keySet().containsAll(due));
    }
    alerts.retry();
  }

  private void write(List<String> due) throws StorageFailure {
    try {
      database.write(
          c -> {
            waiting.write(c);
            Salvage done = salvage;
            if (done != null) {
              reports.addAll(new Holes(c).tell(done.hoursKnown()));
            }
            pack(c, due);
          });
    } catch (StorageFailure failure) {
      // What was packed may hold rows that are not in the table after all.
      packedHours.clear();
      throw failure;
    }
  }

  private void pack(Connection connection, List<String> due) throws SQLException {
    Packer packer = new Packer(connection, numbers);
    List<String> next = due.stream().filter(pack -> !packedHours.containsKey(pack)).toList();
    for (String pack : next.subList(0, Math.min(HOURS_A_COMMIT, next.size()))) {
      packedHours.put(pack, packer.firstHour(pack));
    }
    if (packedHours.keySet().containsAll(due)) {
      for (Optional<PackedHour> hour : packedHours.values()) {
        if (hour.isPresent()) {
          hour.get().write(connection);
        }
      }
    }
  }

  private void committed(boolean allPacked) throws StorageFailure {
    for (ReadingsRow row : waiting.readings()) {
      openHours.putIfAbsent(row.pack(), OpenHour.of(row.session(), row.startMs()));
    }
    waiting.clear();
    salvage = null;
    atRiskSinceMs = NEVER;
    waitingSinceMs = NEVER;
    if (tail != null) {
      tail.reset();
    }
    if (allPacked && !packedHours.isEmpty()) {
      packedHours.clear();
      database.plain(
          c -> {
            loadOpenHours(c);
            Database.pragma(c, "wal_checkpoint(PASSIVE)");
          });
    }
  }

  private List<String> packsWithAFinishedHour() {
    List<String> due = new ArrayList<>();
    openHours.forEach(
        (pack, open) -> {
          PackStream stream = stream(pack);
          if (open.session() != stream.session() || open.hour() != stream.hour()) {
            due.add(pack);
          }
        });
    return due;
  }

  private void loadOpenHours(Connection connection) throws SQLException {
    openHours.clear();
    Database.each(
        connection,
        "SELECT pack, session, start_ms FROM recent"
            + " WHERE id IN (SELECT min(id) FROM recent GROUP BY pack)",
        row -> openHours.put(row.getString(1), OpenHour.of(row.getLong(2), row.getLong(3))));
  }

  /** The file was salvaged: with what waits here in place, what is missing can be told. */
  void salvaged(Salvage done) {
    salvage = done;
    packedHours.clear();
  }

  /** Alerts may fit where readings do not; what does not fit is told. */
  private void endAlerts() {
    try {
      alerts.retry();
    } catch (StorageFailure full) {
      System.getLogger(LogWriter.class.getName())
          .log(System.Logger.Level.DEBUG, "alerts at the end: {0}", full.getMessage());
    }
    alerts.unstored(whyUnstored()).ifPresent(reports::add);
  }

  private String whyUnstored() {
    return database
        .displacement()
        .map("the log "::concat)
        .orElse("the disk did not accept them before the program ended");
  }

  /** What would be lost if the program ended now: readings that only memory holds. */
  private List<Loss> unstored() {
    String why = whyUnstored();
    Map<String, Loss> losses = new LinkedHashMap<>();
    for (ReadingsRow row : waiting.untailed()) {
      Loss more =
          new Loss(row.pack(), row.startMs(), row.endMs(), OptionalLong.of(row.count()), true, why);
      losses.merge(row.pack(), more, Loss::and);
    }
    return List.copyOf(losses.values());
  }

  /** What waited while another stood in for a log goes in behind what that holds. */
  void continueBehind(int ofLog, FreeNumbers there) {
    identity = ofLog;
    streams.values().forEach(stream -> stream.moveBehind(there));
    waiting.moveBehind(there);
    numbers.moveBehind(there);
    runsBefore = there.ofRun(run) - run;
    run += runsBefore;
  }

  /** The free row numbers, for an import through the same file. */
  FreeNumbers numbers() {
    return numbers;
  }

  /** Closes the tail; it stays where some of its rows are not in their table. */
  void close() throws StorageFailure {
    if (tail != null) {
      tail.end(waiting.isEmpty());
    }
  }

  /** The number of a new run of the daemon: one above every run in the log. */
  public long nextRun() throws StorageFailure {
    return database.read(c -> Database.number(c, "SELECT max(run) FROM session").orElse(0) + 1);
  }

  /**
   * Moves every stretch of a run onto the clock of its newest stretch, because that clock turned
   * out to be right. Within a stretch nothing changes but the name of its times; clock steps of the
   * run become steps of nothing.
   */
  public void retime(long wrongRun) throws StorageFailure {
    commitWithoutTail();
    database.write(
        c -> {
          new Retiming(c, runsBefore + wrongRun).apply();
          loadOpenHours(c);
        });
  }

  /**
   * Gives readings of a pack other times, see {@link Redater}.
   *
   * @param isTrial true to change nothing and only say what would be
   * @throws StorageFailure {@code REFUSED} when the new times overlap others or are still to come
   */
  public Redating.Done redate(Redating asked, boolean isTrial) throws StorageFailure {
    commitWithoutTail();
    return database.change(
        c -> {
          Database.execute(c, "SAVEPOINT redating");
          Redating.Done done = new Redater(c, numbers, asked).apply();
          if (isTrial || done.readings() == 0) {
            Database.execute(c, "ROLLBACK TO redating");
          }
          Database.execute(c, "RELEASE redating");
          loadOpenHours(c);
          return done;
        });
  }

  /** By their old times the rows of a tail would look like readings that are missing. */
  private void commitWithoutTail() throws StorageFailure {
    commit();
    packedHours.clear();
    if (tail != null) {
      tail.close();
    }
    Tail.forget(database.file());
    tail = null;
  }

  /**
   * Commits what waits and notes that this run ended in order, so that the next one is not called a
   * restart.
   */
  public void end() throws StorageFailure {
    try {
      commit();
    } catch (StorageFailure refused) {
      // The tail has its room already, also on a full disk.
      if (!appendToTail()) {
        reports.addAll(unstored());
      }
      endAlerts();
      throw refused;
    }
    if (run != 0) {
      database.write(
          c -> {
            Database.update(c, "UPDATE session SET ended = 1 WHERE run = ?", run);
            Seals.renew(c, SealedTable.SESSION);
          });
    }
  }

  /**
   * Drops raw readings above the limits of the settings, oldest first; statistics, gaps, alerts and
   * findings stay. Does a bounded piece of work a call.
   *
   * @param nowMs ms UTC
   * @return blocks dropped; 0 when the log is within its limits
   */
  public int retain(long nowMs) throws StorageFailure {
    return database.change(
        c -> {
          Retention retention = new Retention(c, settings);
          int dropped = retention.apply(nowMs);
          if (retention.unheld() > 0) {
            reports.add(
                Spoken.counted(retention.unheld(), "hour")
                    + " of readings deleted before the centre had them; to keep such"
                    + " readings, set keep_until_held = true in [forward].");
          }
          return dropped;
        });
  }

  /** Readings that were dropped because the disk took none for long; gaps in the log say when. */
  public long skippedReadings() {
    return waiting.skippedReadings();
  }

  /** Acknowledgements that came since the last call, from this process or others. */
  public List<Remarks.Acknowledgement> newAcknowledgements() throws StorageFailure {
    return database.read(Remarks::hasNew) ? database.change(Remarks::takeNew) : List.of();
  }

  /** Time of the newest entry of a pack in the file, ms UTC; empty when there is none. */
  public OptionalLong newestMs(String pack) throws StorageFailure {
    return database.read(c -> LogHistory.newestMs(c, pack));
  }

  /** No right clock is before this, ms UTC. */
  public long clockFloorMs() throws StorageFailure {
    return database.read(LogHistory::clockFloorMs);
  }

  private PackStream stream(String pack) {
    return streams.computeIfAbsent(pack, id -> new PackStream(id, numbers, waiting));
  }
}
