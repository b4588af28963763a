package org.cellherd.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Schema;
import org.cellherd.store.sql.StoreSettings;

/**
 * A log made anew from its parcels: the same log as far as they go, with the same UUID. What only
 * its own computer knew is not there: readings that were not packed yet, saved states.
 */
public final class RebuiltLog implements AutoCloseable {

  @FunctionalInterface
  public interface Source {
    /** Hands each to the taker. */
    void forEach(Taker taker) throws StorageFailure;
  }

  @FunctionalInterface
  public interface Taker {
    void take(Parcel parcel) throws StorageFailure;
  }

  private final Database database;
  private final String uuid;

  private RebuiltLog(Database database, String uuid) {
    this.database = database;
    this.uuid = uuid;
  }

  /**
   * Makes a log of parcels.
   *
   * @param uuid of the log that they are of
   * @throws StorageFailure {@code REFUSED} when the file is there already
   */
  public static void write(Path file, String uuid, Source parcels) throws StorageFailure {
    if (Files.exists(file)) {
      throw new StorageFailure(Kind.REFUSED, file + ": exists already");
    }
    boolean isWhole = false;
    try {
      make(file, uuid, parcels);
      isWhole = true;
    } finally {
      if (!isWhole) {
        BackupCopy.remove(file);
      }
    }
  }

  private static void make(Path file, String uuid, Source parcels) throws StorageFailure {
    Database database = Database.open(file, OpenMode.WRITER, StoreSettings.DEFAULT);
    try (RebuiltLog log = new RebuiltLog(database, uuid)) {
      database.prepareForWriting(Integer.parseUnsignedInt(uuid.substring(0, 8), 16));
      database.write(Schema::migrate);
      database.write(
          c -> {
            parcels.forEach(parcel -> put(c, parcel));
            log.finish(c);
          });
    }
  }

  private static void put(Connection connection, Parcel parcel) throws StorageFailure {
    try {
      ParcelRows.of(parcel.kind(), parcel.body()).write(connection, parcel.kind());
    } catch (SQLException e) {
      throw new StorageFailure(
          Kind.REFUSED, parcel.kind().word() + " " + parcel.key() + ": " + e.getMessage(), e);
    }
  }

  private void finish(Connection connection) throws SQLException {
    Database.update(connection, "UPDATE identity SET uuid = ?", uuid);
    // The broker had them from the log's own computer.
    Database.execute(connection, "UPDATE event SET delivered = 1");
    Database.execute(connection, "UPDATE acknowledgement SET taken = 1");
    Database.execute(
        connection, "UPDATE retired SET to_ms = (SELECT coalesce(min(start_ms), -1) FROM block)");
  }

  @Override
  public void close() throws StorageFailure {
    database.close();
  }
}
