package org.cellherd.store.sql;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/** Whether a log can be opened at all: the driver names no cause when it cannot. */
public final class Reach {

  private Reach() {}

  /** Refuses what is no file, or may not be read. */
  public static void toRead(Path file) throws StorageFailure {
    if (!Files.exists(file)) {
      throw refused(file, "there is no such log");
    }
    if (Files.isDirectory(file)) {
      throw refused(file, "is a directory; a log is a file such as cellherd.db");
    }
    if (!Files.isReadable(file)) {
      throw refused(file, "permission denied to read it" + whoMay(file));
    }
    if (isEmpty(file) && !Files.exists(file.resolveSibling(file.getFileName() + "-wal"))) {
      throw refused(file, "is empty, so there is no log in it yet");
    }
  }

  /** The same for who adds to it beside the daemon. */
  public static void toAdd(Path file) throws StorageFailure {
    toRead(file);
    if (!Files.isWritable(file) || !Files.isWritable(file.toAbsolutePath().resolveSibling("."))) {
      throw refused(file, "permission denied to write it" + whoMay(file));
    }
  }

  private static boolean isEmpty(Path file) {
    try {
      return Files.size(file) == 0;
    } catch (IOException unknown) {
      return false;
    }
  }

  private static String whoMay(Path file) {
    try {
      String group =
          Files.readAttributes(file, PosixFileAttributes.class, LinkOption.NOFOLLOW_LINKS)
              .group()
              .getName();
      return "; members of the group \""
          + group
          + "\" may: sudo usermod -aG "
          + group
          + " NAME, then log in again";
    } catch (IOException | UnsupportedOperationException notTold) {
      return "";
    }
  }

  private static StorageFailure refused(Path file, String why) {
    return new StorageFailure(Kind.REFUSED, file + ": " + why);
  }
}
