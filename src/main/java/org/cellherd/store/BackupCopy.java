package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;

/** A consistent copy of a log in use, with the rows of its tail in their table. */
final class BackupCopy {

  private BackupCopy() {}

  static void write(Database log, Path target, StoreSettings settings) throws StorageFailure {
    if (Files.exists(target)) {
      throw new StorageFailure(Kind.REFUSED, target + ": exists already");
    }
    List<ReadingsRow> tail = Tail.read(log.file());
    boolean isWhole = false;
    try {
      copy(log, target, tail, settings);
      isWhole = true;
    } catch (StorageFailure failure) {
      throw ofCopy(failure, log.file(), target);
    } finally {
      if (!isWhole) {
        remove(target);
      }
    }
  }

  private static void copy(
      Database log, Path target, List<ReadingsRow> tail, StoreSettings settings)
      throws StorageFailure {
    log.plain(c -> Database.update(c, "VACUUM INTO ?", target.toAbsolutePath().toString()));
    if (!tail.isEmpty()) {
      try (Database copy = Database.open(target, OpenMode.WRITER, settings)) {
        copy.write(c -> new FoundRows(c).put(tail));
      }
    }
  }

  /** What is written is the copy: a disk that is full is the disk of that. */
  private static StorageFailure ofCopy(StorageFailure failure, Path log, Path target) {
    String said = String.valueOf(failure.getMessage());
    return failure.kind() == Kind.NO_SPACE && said.startsWith(log + ": ")
        ? new StorageFailure(
            Kind.NO_SPACE, target + said.substring(log.toString().length()), failure)
        : failure;
  }

  /** Half of a copy would be taken for a backup one day. */
  static void remove(Path target) {
    for (String end : List.of("", "-wal", "-shm", "-journal")) {
      try {
        Files.deleteIfExists(target.resolveSibling(target.getFileName() + end));
      } catch (IOException left) {
        System.getLogger(BackupCopy.class.getName())
            .log(System.Logger.Level.DEBUG, "removing {0}: {1}", target, left.getMessage());
      }
    }
  }
}
