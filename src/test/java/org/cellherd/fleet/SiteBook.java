package org.cellherd.fleet;

import java.nio.file.Path;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Journal;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.OpenMode;

/** All parcels of a log by kind and key, each as its CRC-32C: equal for equal logs. */
final class SiteBook {

  private SiteBook() {}

  /** Of a log that nobody writes, as if it was never forwarded. */
  static Map<String, Long> of(Path file) throws StorageFailure {
    Map<String, Long> book = new TreeMap<>();
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      Journal journal = log.journal();
      journal.begin(false);
      journal.raiseAbove(0);
      for (Parcel parcel : journal.after(0, Integer.MAX_VALUE)) {
        book.put(parcel.kind().word() + " " + parcel.key(), parcel.crc());
      }
    }
    return book;
  }
}
