package org.cellherd.store;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.OptionalInt;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;
import org.jspecify.annotations.Nullable;

/** Saves what can be read of a damaged log into a new one, and puts that in its place. */
final class Salvager {
  private static final Logger LOG = System.getLogger(Salvager.class.getName());

  /** Page size of all older logs and of those of many packs, bytes. */
  private static final int OLDER_PAGES = 1024;

  private final Path file;
  private final StoreSettings settings;
  private final int identity;
  private final Reports reports;

  /**
   * Works on a file that nobody has open.
   *
   * @param identity of the log, which it keeps
   * @param reports takes which rows of other tables than those of readings are lost
   */
  public Salvager(Path file, StoreSettings settings, int identity, Reports reports) {
    this.file = file;
    this.settings = settings;
    this.identity = identity;
    this.reports = reports;
  }

  /**
   * Does it; nobody else may have the file open. After a failure the damaged file is where it was,
   * and doing it again begins anew.
   */
  public Salvage run() throws StorageFailure {
    try {
      return intoPlace(new Replacement(file));
    } catch (StorageFailure e) {
      String why = String.valueOf(e.getMessage());
      throw new StorageFailure(
          e.kind(), why.startsWith(file + ": ") ? why : file + ": cannot be salvaged: " + why, e);
    }
  }

  private Salvage intoPlace(Replacement replacement) throws StorageFailure {
    Path made = replacement.begin();
    SchemaPages schema = newLog(made);
    Salvage salvage;
    try (Database to = Database.open(made, OpenMode.WRITER, settings)) {
      to.prepareForWriting(0);
      salvage = save(replacement, schema, to);
    }
    replacement.put();
    return salvage;
  }

  /** An empty log like the damaged one, also where that does not tell any more how it was made. */
  private SchemaPages newLog(Path made) throws StorageFailure {
    try {
      if (Files.notExists(file)) {
        // Gone, with its write-ahead log left: salvaged as an empty one.
        Files.createFile(file);
      }
      OptionalInt told = SchemaPages.pageBytesToldBy(file);
      if (told.isPresent()) {
        return newLog(made, told.getAsInt());
      }
      SchemaPages older = newLog(made, OLDER_PAGES);
      if (older.isSharedBy(file)) {
        return older;
      }
      Files.delete(made);
      return newLog(made, StoreSettings.DEFAULT.pageBytes());
    } catch (IOException e) {
      throw new StorageFailure(Kind.REFUSED, made + ": cannot be read (" + e + ")", e);
    }
  }

  /** Makes an empty log and takes note of its schema. */
  private SchemaPages newLog(Path made, int pageBytes) throws StorageFailure, IOException {
    SchemaPages.Place place;
    try (Database fresh = Database.open(made, OpenMode.WRITER, settings.withPageBytes(pageBytes))) {
      fresh.prepareForWriting(identity);
      fresh.write(Schema::migrate);
      place = fresh.read(SchemaPages.Place::of);
    }
    return SchemaPages.of(made, place);
  }

  /** From a copy that can be mended; where there is no room for one, from the file as it is. */
  private Salvage save(Replacement replacement, SchemaPages schema, Database to)
      throws StorageFailure {
    try (WorkingCopy working = new WorkingCopy(file, replacement.copy())) {
      mend(working.path(), schema);
      return save(working.path(), OpenMode.WRITER, replacement.aside(), to);
    } catch (IOException e) {
      LOG.log(Level.WARNING, file + ": salvaged without a copy to work on (" + e + ")");
      return save(file, OpenMode.READER, replacement.aside(), to);
    }
  }

  private void mend(Path copy, SchemaPages schema) throws StorageFailure, IOException {
    Database damaged = open(copy, OpenMode.READER);
    boolean isWhole = damaged != null && damaged.locked(schema::isWholeIn);
    close(damaged);
    if (!isWhole) {
      schema.putInto(copy);
    }
  }

  private Salvage save(Path source, OpenMode mode, Path aside, Database to) throws StorageFailure {
    Database damaged = open(source, mode);
    if (damaged == null) {
      return new Salvage(aside, 0, 0, 0, 0, 0, false, false);
    }
    try {
      return damaged.<Salvage>locked(c -> new Transfer(c, source, to, reports).run(aside));
    } finally {
      close(damaged);
    }
  }

  private @Nullable Database open(Path damaged, OpenMode mode) throws StorageFailure {
    Database from = Database.open(damaged, mode, settings);
    try {
      from.plain(
          c -> {
            // Without it SQLite refuses a file that is shorter than its head says, as a whole.
            Database.pragma(c, "writable_schema=ON");
            Database.number(c, "SELECT count(*) FROM sqlite_master");
          });
      return from;
    } catch (StorageFailure e) {
      close(from);
      if (e.kind() == Kind.NO_SPACE || e.kind() == Kind.BUSY) {
        throw e;
      }
      return null;
    }
  }

  private static void close(@Nullable Database damaged) {
    try {
      if (damaged != null) {
        damaged.close();
      }
    } catch (StorageFailure e) {
      LOG.log(Level.DEBUG, "closing the damaged file: " + e.getMessage());
    }
  }
}
