package org.cellherd.store;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Reach;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;

/**
 * What people add to the log: acknowledgements and notes. The only tables that a process beside the
 * daemon may write. Any thread.
 */
public final class Remarks implements AutoCloseable {

  private static final int LONGEST_NAME = 80;
  private static final int LONGEST_TEXT = 4000;

  private static final String NEWEST =
      "SELECT max(id) FROM (SELECT max(id) AS id FROM note"
          + " UNION ALL SELECT max(note_id) FROM note_change)";

  private static final String WHERE_ID = "pack = ? AND id = ?";

  private static final String WHERE_TIME =
      "pack = ? AND at_ms >= ? AND at_ms < ? ORDER BY at_ms, id";

  private final Database database;

  private final boolean owned;

  /** Remarks through a connection that somebody else closes. */
  Remarks(Database database) {
    this(database, false);
  }

  private Remarks(Database database, boolean owned) {
    this.database = database;
    this.owned = owned;
  }

  /** Opens an existing log for remarks only, beside the daemon that writes it. */
  public static Remarks open(Path file, StoreSettings settings) throws StorageFailure {
    Reach.toAdd(file);
    Database database = Database.open(file, OpenMode.WRITER, settings);
    try {
      database.plain(
          c -> {
            Schema.checkReadable(file, c);
            Database.pragma(c, "synchronous=FULL");
          });
    } catch (StorageFailure e) {
      database.close();
      throw e;
    }
    return new Remarks(database, true);
  }

  /**
   * Notes that somebody has seen an alert; the daemon takes it up.
   *
   * @param by who; at most 80 characters are kept
   * @param atMs when, ms UTC
   */
  public void acknowledge(String alertId, String by, long atMs) throws StorageFailure {
    database.write(
        c ->
            Database.update(
                c,
                "INSERT INTO acknowledgement(alert_id, by, at_ms) VALUES (?,?,?)",
                alertId,
                cut(by, LONGEST_NAME),
                atMs));
  }

  /** Who has seen which alert, by its id, as far as no daemon has taken it up yet. */
  public Map<String, String> waitingAcknowledgements() throws StorageFailure {
    return database.read(
        c -> {
          Map<String, String> seenBy = new LinkedHashMap<>();
          readNew(c).forEach(a -> seenBy.put(a.alertId(), a.by()));
          return seenBy;
        });
  }

  /**
   * Adds a note; at most 4000 characters are kept.
   *
   * @return its number
   */
  public long add(Note note) throws StorageFailure {
    return database.change(
        c -> {
          // Beyond changes too: where damage cost a note, its changes are not the next one's.
          long id = 1 + Database.number(c, NEWEST).orElse(0);
          Database.update(
              c,
              "INSERT INTO note(id, pack, at_ms, by, text) VALUES (?,?,?,?,?)",
              id,
              note.pack(),
              note.atMs(),
              cut(note.by(), LONGEST_NAME),
              cut(note.text(), LONGEST_TEXT));
          return id;
        });
  }

  /** Corrects a note that is there, or withdraws it; what it said stays in the log. */
  public void change(Note.Change change) throws StorageFailure {
    database.write(
        c ->
            Database.update(
                c,
                "INSERT INTO note_change(note_id, at_ms, by, text) VALUES (?,?,?,?)",
                change.noteId(),
                change.atMs(),
                cut(change.by(), LONGEST_NAME),
                change.says().map(t -> cut(t, LONGEST_TEXT)).orElse(null)));
  }

  /** A pack's note by its number. */
  public Optional<Note.Kept> note(String pack, long id) throws StorageFailure {
    return database.read(c -> read(c, WHERE_ID, pack, id)).stream().findFirst();
  }

  /**
   * Notes about a pack with {@code fromMs <= time < toMs}, oldest first: as they were corrected,
   * without those that were withdrawn.
   */
  public List<Note> notes(String pack, long fromMs, long toMs) throws StorageFailure {
    return keptNotes(pack, fromMs, toMs).stream().flatMap(n -> n.today().stream()).toList();
  }

  /** All notes about a pack with {@code fromMs <= time < toMs}, oldest first. */
  public List<Note.Kept> keptNotes(String pack, long fromMs, long toMs) throws StorageFailure {
    return database.read(c -> read(c, WHERE_TIME, pack, fromMs, toMs));
  }

  private static List<Note.Kept> read(Connection connection, String which, Object... values)
      throws SQLException {
    String sql = "SELECT id, pack, at_ms, by, text FROM note WHERE " + which;
    return Database.rows(connection, sql, row -> kept(connection, row), values);
  }

  private static Note.Kept kept(Connection connection, ResultSet row) throws SQLException {
    Note first = new Note(row.getString(2), row.getLong(3), row.getString(4), row.getString(5));
    return new Note.Kept(row.getLong(1), first, changes(connection, row.getLong(1)));
  }

  private static List<Note.Change> changes(Connection connection, long noteId) throws SQLException {
    return Database.rows(
        connection,
        "SELECT at_ms, by, text FROM note_change WHERE note_id = ? ORDER BY id",
        row -> new Note.Change(noteId, row.getLong(1), row.getString(2), row.getString(3)),
        noteId);
  }

  /** True when an acknowledgement waits to be taken up. */
  static boolean hasNew(Connection connection) throws SQLException {
    return Database.number(connection, "SELECT min(id) FROM acknowledgement WHERE taken = 0")
        .isPresent();
  }

  /** Takes the acknowledgements that nobody took yet. */
  static List<Acknowledgement> takeNew(Connection connection) throws SQLException {
    List<Acknowledgement> taken = readNew(connection);
    Database.update(connection, "UPDATE acknowledgement SET taken = 1 WHERE taken = 0");
    return taken;
  }

  private static List<Acknowledgement> readNew(Connection connection) throws SQLException {
    return Database.rows(
        connection,
        "SELECT alert_id, by, at_ms FROM acknowledgement WHERE taken = 0 ORDER BY id",
        row -> new Acknowledgement(row.getString(1), row.getString(2), row.getLong(3)));
  }

  private static String cut(String text, int most) {
    return text.length() <= most ? text : text.substring(0, most);
  }

  @Override
  public void close() throws StorageFailure {
    if (owned) {
      database.close();
    }
  }

  /**
   * Somebody has seen an alert.
   *
   * @param alertId the alert's id
   * @param by who, as given
   * @param atMs when, ms UTC
   */
  public record Acknowledgement(String alertId, String by, long atMs) {

    /** Takes what a terminal would obey out of the name. */
    public Acknowledgement {
      by = PlainText.spaced(by);
    }
  }
}
