package org.cellherd.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.Worded;
import org.cellherd.store.sql.ChangeTriggers;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;

/**
 * What of a log a centre does not hold yet, as the log itself knows it: nothing of it is in memory.
 * Any thread.
 */
public final class Journal {

  private final Database database;

  /** Of a log that is open for writing. */
  public Journal(Database database) {
    this.database = database;
  }

  /**
   * Begins to note what changes, where that was not begun: everything that is there is to be sent.
   * A salvaged log begins anew.
   *
   * @param waits true when no reading may be retired before the centre holds it
   */
  public void begin(boolean waits) throws StorageFailure {
    long wanted = waits ? 1 : 0;
    OptionalLong now = database.read(c -> Database.number(c, "SELECT waits FROM forwarding"));
    if (now.equals(OptionalLong.of(wanted))) {
      return;
    }
    database.write(
        c -> {
          Database.update(c, "INSERT OR REPLACE INTO forwarding(id, waits) VALUES (1, ?)", wanted);
          if (now.isEmpty()) {
            ChangeTriggers.make(c);
            noteAll(c);
          }
        });
  }

  /**
   * In the order in which they came, which for events no column says. Keys that a centre still has
   * to give up stay noted: no row names them any more.
   */
  private static void noteAll(Connection connection) throws SQLException {
    Database.execute(
        connection, "INSERT OR REPLACE INTO change(kind, key) SELECT kind, key FROM change");
    for (ParcelKind kind : ParcelKind.values()) {
      Database.execute(
          connection,
          String.format(
              "INSERT OR REPLACE INTO change(kind, key) SELECT '%1$s', %2$s FROM %1$s GROUP BY %2$s"
                  + " ORDER BY min(%3$s)",
              kind.word(), kind.keyOf(""), kind.order()));
    }
  }

  /** Parcels that changed by changes above a number, in order, at most so many. */
  public List<Parcel> after(long rev, int most) throws StorageFailure {
    return database.read(
        c ->
            parcels(
                c,
                "SELECT rev, kind, key FROM change WHERE rev > ? ORDER BY rev LIMIT ?",
                rev,
                most));
  }

  /** The parcel of a change; empty when it changed again since, or is held. */
  public Optional<Parcel> of(long rev) throws StorageFailure {
    return database.read(
        c ->
            parcels(c, "SELECT rev, kind, key FROM change WHERE rev = ?", rev).stream()
                .findFirst());
  }

  private static List<Parcel> parcels(Connection connection, String sql, Object... values)
      throws SQLException {
    return Database.rows(connection, sql, row -> parcel(connection, row), values);
  }

  private static Parcel parcel(Connection connection, ResultSet row) throws SQLException {
    ParcelKind kind =
        Worded.find(ParcelKind.values(), row.getString(2))
            .orElseThrow(() -> new SQLException("table change names an unknown kind"));
    String key = row.getString(3);
    return new Parcel(kind, key, row.getLong(1), ParcelRows.read(connection, kind, key));
  }

  /** A centre holds what these changes made; what changed again meanwhile is not meant. */
  public void held(Collection<Long> revs) throws StorageFailure {
    database.write(
        c -> {
          try (PreparedStatement delete = c.prepareStatement("DELETE FROM change WHERE rev = ?")) {
            for (long rev : revs) {
              Database.bind(delete, rev);
              delete.executeUpdate();
            }
          }
        });
  }

  /**
   * A centre has a later change of this log than the log knows: it is a copy from before, or was
   * salvaged. Everything is to be sent again, under numbers above.
   */
  public void raiseAbove(long rev) throws StorageFailure {
    database.write(
        c -> {
          // A row there once raises the numbers for good; where it is there, they are above it.
          Database.update(c, "INSERT OR IGNORE INTO change VALUES (?, 'block', '0/0')", rev);
          noteAll(c);
          Database.execute(c, "DELETE FROM change WHERE kind = 'block' AND key = '0/0'");
        });
  }

  /** How many parcels a centre does not hold yet. */
  public long waiting() throws StorageFailure {
    return database.read(c -> Database.number(c, "SELECT count(*) FROM change").orElse(0));
  }
}
