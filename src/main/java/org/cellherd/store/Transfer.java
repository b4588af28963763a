package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.Identity;

/** Takes all tables of a damaged file over into a new log, and makes that consistent. One use. */
final class Transfer {
  private static final List<String> STATISTICS_ORDER =
      List.of("pack", "channel", "start_ms", "session");

  private final Connection source;
  private final Path file;
  private final Database to;
  private final Reports reports;

  /**
   * From an open file to another.
   *
   * @param file the one that is open as {@code source}
   * @param reports takes which readings are lost
   */
  Transfer(Connection source, Path file, Database to, Reports reports) {
    this.source = source;
    this.file = file;
    this.to = to;
    this.reports = reports;
  }

  /**
   * Does it.
   *
   * @param aside where the damaged file will be
   */
  Salvage run(Path aside) throws StorageFailure {
    // What is told to people first: a second failure on the way must not cost an alert.
    Sums alerts = new Sums();
    table("alert", this::strays, alerts);
    Sums events = new Sums();
    table("event", this::strays, events);
    Sums others = new Sums();
    for (String table : List.of("acknowledgement", "session", "note", "finding")) {
      table(table, this::strays, others);
    }
    // An older file has none; one that is lost is learnt again.
    table("board", this::strays, new Sums());
    to.write(this::copyIdentity);
    // An older file has none of these either.
    for (String table : List.of("note_change", "redating")) {
      if (DamagedRows.hasTable(source, table)) {
        table(table, this::strays, others);
      }
    }
    // Only keys that a centre still has to give up are not noted again by themselves.
    if (DamagedRows.hasTable(source, "change")) {
      table("change", taker -> {}, new Sums());
    }
    Sums gaps = new Sums();
    table("gap", this::strays, gaps);
    others.add(gaps);
    Sums recent = new Sums();
    table("recent", taker -> {}, recent);
    // Deleted ones would come back: states that an import made untrue.
    table("snapshot", taker -> {}, others);
    to.write(this::copyHighestNumber);
    Sums blocks = new Sums();
    table("block", this::straysOfBlocks, blocks);
    Sums statistics = new Sums();
    to.write(c -> statistics.add(TableWalk.byOrder(source, c, "hour", STATISTICS_ORDER)));
    to.write(c -> statistics.add(TableWalk.byOrder(source, c, "day", STATISTICS_ORDER)));
    boolean whole = !alerts.broken && !events.broken && !blocks.broken;
    boolean statisticsLost = statistics.broken || statistics.lost > 0;
    Sums heard = new Sums();
    if (DamagedRows.hasTable(source, "heard")) {
      to.write(
          c ->
              heard.add(
                  TableWalk.byOrder(source, c, "heard", List.of("pack", "session", "start_ms"))));
      if (recent.broken) {
        to.write(c -> recent.found(TableWalk.ofStrays(c, "recent", found -> unpacked(c, found))));
      }
      to.write(c -> Database.execute(c, "DELETE FROM retired"));
      to.write(c -> TableWalk.byNumber(source, c, "retired", taker -> {}));
    }
    others.add(recent);
    boolean isRepaired = repair(statisticsLost, gaps.broken || gaps.lost > 0);
    whole &= isRepaired && !others.broken;
    to.write(this::tellRows);
    return new Salvage(
        aside,
        blocks.kept,
        blocks.lost,
        alerts.kept,
        events.kept,
        others.kept,
        !statisticsLost && !heard.broken && heard.lost == 0,
        whole && blocks.lost == 0 && others.lost == 0 && !statisticsLost);
  }

  private void table(String name, TableWalk.Strays strays, Sums sums) throws StorageFailure {
    to.write(c -> sums.add(TableWalk.byNumber(source, c, name, strays)));
  }

  private void strays(StrayRows.Taker taker) throws SQLException {
    strays(Set.of(), taker);
  }

  /** Rows of the newest minutes look like blocks. */
  private void straysOfBlocks(StrayRows.Taker taker) throws SQLException {
    Set<Integer> recent = new HashSet<>();
    try {
      String sql = "SELECT pageno FROM dbstat WHERE name = 'recent'";
      recent.addAll(Database.rows(source, sql, row -> row.getInt(1)));
    } catch (SQLException damagedToo) {
      // Then some of them become blocks: better twice in two tables than lost.
      recent.clear();
    }
    strays(recent, taker);
  }

  /** Rows of hours that are not packed yet: those of others were deleted when they were. */
  private void unpacked(Connection to, StrayRows.Taker taker) throws SQLException {
    try (PreparedStatement heard =
        to.prepareStatement(
            "SELECT 1 FROM heard WHERE pack = ? AND session = ? AND start_ms = ? - ? % "
                + PackStream.HOUR_MS)) {
      strays(
          (number, row) -> {
            if (row.length > 3) {
              Database.bind(heard, row[1], row[2], row[3], row[3]);
              try (ResultSet hour = heard.executeQuery()) {
                if (hour.next()) {
                  taker.take(number, row);
                }
              }
            }
          });
    }
  }

  private void strays(Set<Integer> notThese, StrayRows.Taker taker) throws SQLException {
    try (StrayRows rows = StrayRows.of(file)) {
      rows.forEach(notThese, taker);
    } catch (IOException e) {
      System.getLogger(Transfer.class.getName())
          .log(System.Logger.Level.WARNING, "rows that lie about: " + e.getMessage());
    }
  }

  /** What the seals of the damaged file miss in the new one; that has seals of its own later. */
  private void tellRows(Connection to) throws SQLException {
    if (DamagedRows.hasTable(source, "seal")) {
      TableWalk.byOrder(source, to, "seal", List.of("name", "pack", "channel", "part"));
      for (SealedTable table : SealedTable.values()) {
        if (table != SealedTable.HOUR && table != SealedTable.DAY) {
          Seals.losses(to, table, "", Long.MIN_VALUE, Long.MAX_VALUE).forEach(reports::add);
        }
      }
      Seals.forget(to);
    }
  }

  /** What cannot be computed anew is missing; the log goes on in any case. */
  private boolean repair(boolean statisticsLost, boolean gapsLost) {
    try {
      to.write(c -> new SalvageRepairs(c).apply(statisticsLost, gapsLost));
      return true;
    } catch (StorageFailure e) {
      System.getLogger(Transfer.class.getName())
          .log(System.Logger.Level.WARNING, "statistics after the damage: " + e.getMessage());
      return false;
    }
  }

  /** A salvaged log is the same log; where its UUID is lost, the beginning is still the same. */
  private void copyIdentity(Connection to) throws SQLException {
    try (DamagedRows rows = new DamagedRows(source, "SELECT id, uuid FROM identity", 2)) {
      if (rows.next() && rows.row()[1] instanceof String uuid && uuid.matches(Identity.FORM)) {
        Database.update(to, "UPDATE identity SET uuid = ?", uuid);
      }
    }
  }

  /** Without it rows of the tail that were packed already would come in once more. */
  private void copyHighestNumber(Connection to) throws SQLException {
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

    void add(Sums part) {
      kept += part.kept;
      lost += part.lost;
      broken |= part.broken;
    }

    /** What a walk missed before. */
    void found(TableWalk walk) {
      kept += walk.kept();
      lost = Math.max(0, lost - walk.kept());
    }

    void add(TableWalk walk) throws SQLException {
      kept += walk.kept();
      lost += walk.lost();
      broken |= walk.isBroken();
    }
  }
}
