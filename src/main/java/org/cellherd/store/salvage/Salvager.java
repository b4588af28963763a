package org.cellherd.store.salvage;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.OpenMode;
import org.cellherd.store.Salvage;
import org.cellherd.store.StoreSettings;
import org.cellherd.store.rows.TailRows;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Schema;
import org.jspecify.annotations.Nullable;

/** Saves what can be read of a damaged log into a new one, and puts that in its place. */
public final class Salvager {

  private static final List<String> STATISTICS_ORDER =
      List.of("pack", "channel", "start_ms", "session");

  private final Path file;
  private final StoreSettings settings;

  /** Works on a file that nobody has open. */
  public Salvager(Path file, StoreSettings settings) {
    this.file = file;
    this.settings = settings;
  }

  /**
   * Does it; nobody else may have the file open. After a failure the damaged file is where it was,
   * and doing it again begins anew.
   */
  public Salvage run() throws StorageFailure {
    Replacement replacement = new Replacement(file);
    Path made = replacement.begin();
    Salvage salvage;
    try (Database to = Database.open(made, OpenMode.WRITER, settings)) {
      to.prepareForWriting();
      to.write(Schema::migrate);
      salvage = copy(replacement.aside(), to);
    }
    replacement.put();
    return salvage;
  }

  private Salvage copy(Path aside, Database to) throws StorageFailure {
    @Nullable Database from = openDamaged();
    if (from == null) {
      return new Salvage(aside, 0, 0, 0, 0, 0, false);
    }
    try {
      return from.<Salvage>locked(source -> copy(aside, source, to));
    } finally {
      closeDamaged(from);
    }
  }

  private @Nullable Database openDamaged() throws StorageFailure {
    try {
      // Read-only, so that the evidence stays as it was found.
      Database from = Database.open(file, OpenMode.READER, settings);
      from.plain(
          c -> {
            // Without it SQLite refuses a file that is shorter than its head says, as a whole.
            Database.pragma(c, "writable_schema=ON");
            Database.number(c, "SELECT count(*) FROM sqlite_master");
          });
      return from;
    } catch (StorageFailure e) {
      if (e.kind() == Kind.NO_SPACE || e.kind() == Kind.BUSY) {
        throw e;
      }
      return null;
    }
  }

  private static void closeDamaged(Database from) {
    try {
      from.close();
    } catch (StorageFailure e) {
      System.getLogger(Salvager.class.getName())
          .log(System.Logger.Level.DEBUG, "closing the damaged file: {0}", e.getMessage());
    }
  }

  private static Salvage copy(Path aside, Connection source, Database to) throws StorageFailure {
    // What is told to people first: a second failure on the way must not cost an alert.
    Sums alerts = new Sums();
    to.write(c -> alerts.add(TableWalk.byNumber(source, c, "alert")));
    Sums events = new Sums();
    to.write(c -> events.add(TableWalk.byNumber(source, c, "event")));
    Sums others = new Sums();
    for (String table :
        List.of("acknowledgement", "session", "gap", "recent", "finding", "note", "snapshot")) {
      to.write(c -> others.add(TableWalk.byNumber(source, c, table)));
    }
    to.write(c -> copyHighestNumber(source, c));
    Sums blocks = new Sums();
    to.write(c -> blocks.add(TableWalk.byNumber(source, c, "block")));
    Sums statistics = new Sums();
    to.write(c -> statistics.add(TableWalk.byOrder(source, c, "hour", STATISTICS_ORDER)));
    to.write(c -> statistics.add(TableWalk.byOrder(source, c, "day", STATISTICS_ORDER)));
    boolean whole = !alerts.broken && !events.broken && !others.broken && !blocks.broken;
    boolean statisticsLost = statistics.broken || statistics.lost > 0;
    whole &= repair(to, statisticsLost);
    return new Salvage(
        aside,
        blocks.kept,
        blocks.lost,
        alerts.kept,
        events.kept,
        others.kept,
        whole && blocks.lost == 0 && others.lost == 0 && !statisticsLost);
  }

  /** What cannot be computed anew is missing; the log goes on in any case. */
  private static boolean repair(Database to, boolean statisticsLost) {
    try {
      to.write(c -> new SalvageRepairs(c).apply(statisticsLost));
      return true;
    } catch (StorageFailure e) {
      System.getLogger(Salvager.class.getName())
          .log(System.Logger.Level.WARNING, "statistics after the damage: {0}", e.getMessage());
      return false;
    }
  }

  /** Without it rows of the tail that were packed already would come in once more. */
  private static void copyHighestNumber(Connection source, Connection to) throws SQLException {
    String sql = "SELECT seq FROM sqlite_sequence WHERE name = 'recent'";
    try (DamagedRows rows = new DamagedRows(source, sql, 1)) {
      if (rows.next() && rows.number() > TailRows.highest(to)) {
        Database.execute(to, "DELETE FROM sqlite_sequence WHERE name = 'recent'");
        Database.update(
            to, "INSERT INTO sqlite_sequence(name, seq) VALUES ('recent', ?)", rows.number());
      }
    }
  }

  /** Counts over some tables. */
  private static final class Sums {
    private long kept;
    private long lost;
    private boolean broken;

    void add(TableWalk walk) throws SQLException {
      kept += walk.kept();
      lost += walk.lost();
      broken |= walk.isBroken();
    }
  }
}
