package org.cellherd.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.cellherd.store.rows.ReadingsRow;
import org.cellherd.store.rows.Tail;
import org.cellherd.store.salvage.FoundRows;
import org.cellherd.store.setting.OpenMode;
import org.cellherd.store.setting.StoreSettings;
import org.cellherd.store.sql.Database;

/** A consistent copy of a log in use, with the rows of its tail in their table. */
final class BackupCopy {

  private BackupCopy() {}

  static void write(Database log, Path target, StoreSettings settings) throws StorageFailure {
    if (Files.exists(target)) {
      throw new StorageFailure(Kind.REFUSED, target + ": exists already");
    }
    List<ReadingsRow> tail = Tail.read(log.file());
    log.plain(c -> Database.update(c, "VACUUM INTO ?", target.toAbsolutePath().toString()));
    if (!tail.isEmpty()) {
      try (Database copy = Database.open(target, OpenMode.WRITER, settings)) {
        copy.write(c -> new FoundRows(c).put(tail));
      }
    }
  }
}
