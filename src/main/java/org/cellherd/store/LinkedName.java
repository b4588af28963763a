package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/**
 * A log whose name is a symbolic link. SQLite keeps its files beside the file that the link leads
 * to, so all others belong there, too: by the name of the link a second program would find no lock,
 * and nobody the files of a killed run.
 */
final class LinkedName {

  private LinkedName() {}

  /** The file that a name leads to; the name itself where it is no link, or one to nothing. */
  static Path follow(Path named) {
    try {
      return Files.isSymbolicLink(named) ? named.toRealPath() : named;
    } catch (IOException toNothing) {
      return named;
    }
  }

  /**
   * Brings what a killed run left beside the name to the file, as when only the file was moved; the
   * lock of the file must be held.
   *
   * @throws StorageFailure {@code REFUSED} when it cannot be moved: left behind, it would be taken
   *     for newer than the log one day
   */
  static void bring(Path named, Path file, Reports reports) throws StorageFailure {
    if (file.equals(named)) {
      return;
    }
    for (String ending : List.of("-wal", "-tail")) {
      Path left = named.resolveSibling(named.getFileName() + ending);
      Path place = file.resolveSibling(file.getFileName() + ending);
      try {
        if (Files.exists(left) && Files.size(left) > 0 && !Files.isSameFile(left, file)) {
          reports.add(bring(left, place));
        }
      } catch (IOException e) {
        String why = left + ": cannot be moved to " + place + " (" + e + "), where the log is";
        throw new StorageFailure(Kind.REFUSED, why, e);
      }
    }
  }

  private static String bring(Path left, Path place) throws IOException, StorageFailure {
    if (Files.exists(place) && Files.size(place) > 0 && Files.mismatch(left, place) >= 0) {
      return left
          + " lay beside a link to the log, which has its own."
          + Replacement.setAside(left);
    }
    Path coming = place.resolveSibling(place.getFileName() + ".coming");
    Files.copy(left, coming, StandardCopyOption.REPLACE_EXISTING);
    Files.move(coming, place, StandardCopyOption.REPLACE_EXISTING);
    Files.delete(left);
    return left + " lay beside a link to the log; it was moved to " + place + ".";
  }
}
