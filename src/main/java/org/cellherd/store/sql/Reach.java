package org.cellherd.store.sql;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/** Whether a log can be opened at all: the driver names no cause when it cannot. */
public final class Reach {

  private Reach() {}

  /** Refuses what is no file, or may not be read. */
  public static void toRead(Path file) throws StorageFailure {
    if (!Files.exists(file)) {
      throw refused(file, hiding(file).orElse("there is no such log"));
    }
    if (Files.isDirectory(file)) {
      throw refused(file, "is a directory; a log is a file such as cellherd.db");
    }
    if (!Files.isReadable(file)) {
      throw refused(file, "permission denied to read it" + Allowed.toRead(file));
    }
    if (isEmpty(file) && !Files.exists(file.resolveSibling(file.getFileName() + "-wal"))) {
      throw refused(file, "is empty, so there is no log in it yet");
    }
  }

  /** The same for who adds to it beside the daemon. */
  public static void toAdd(Path file) throws StorageFailure {
    toRead(file);
    List<Path> shut =
        Stream.of(file, file.toAbsolutePath().resolveSibling(".").normalize())
            .filter(each -> !Files.isWritable(each))
            .toList();
    if (!shut.isEmpty()) {
      String what = shut.contains(file) ? "it" : "in its folder " + shut.get(0);
      throw refused(file, "permission denied to write " + what + Allowed.toWrite(shut));
    }
  }

  /**
   * Why the files of a log cannot be opened or written, and what would be right; empty where the
   * files themselves do not show it.
   */
  public static Optional<String> trouble(Path log) {
    Path folder = log.toAbsolutePath().resolveSibling(".").normalize();
    if (!Files.isDirectory(folder)) {
      return Optional.of("there is no folder " + folder);
    }
    List<Path> files =
        Stream.of("", "-wal", "-shm", "-tail")
            .map(end -> log.resolveSibling(log.getFileName() + end))
            .filter(file -> Files.exists(file, LinkOption.NOFOLLOW_LINKS))
            .toList();
    return files.stream()
        .flatMap(file -> noFile(file).or(() -> closed(log, file, "read")).stream())
        .findFirst()
        .or(() -> files.stream().flatMap(f -> closed(log, f, "write").stream()).findFirst())
        .or(() -> shut(log, folder));
  }

  /** A folder that may not be entered shows nothing of what is in it. */
  private static Optional<String> hiding(Path file) {
    for (Path folder = file.toAbsolutePath().getParent();
        folder != null;
        folder = folder.getParent()) {
      if (Files.isDirectory(folder) && !Files.isExecutable(folder)) {
        return Optional.of(
            "permission denied to enter its folder " + folder + Allowed.toEnter(folder));
      }
    }
    return Optional.empty();
  }

  private static Optional<String> noFile(Path file) {
    if (!Files.exists(file)) {
      return Optional.of(file + " is a link to a file that is not there");
    }
    return Files.isDirectory(file)
        ? Optional.of(file + " is a folder, not a file; move it away")
        : Optional.empty();
  }

  private static Optional<String> closed(Path log, Path file, String use) {
    boolean isToRead = use.equals("read");
    if (isToRead ? Files.isReadable(file) : Files.isWritable(file)) {
      return Optional.empty();
    }
    String who = isToRead ? Allowed.toRead(log) : Allowed.toWrite(List.of(log));
    String right = file.equals(log) ? who : "; give it the owner and the rights of the log";
    return Optional.of("permission denied to " + use + " " + file + right);
  }

  private static Optional<String> shut(Path log, Path folder) {
    return Files.isWritable(folder)
        ? Optional.empty()
        : Optional.of(
            "permission denied to write in its folder "
                + folder
                + ", where "
                + log.getFileName()
                + "-shm must be made, or the disk is read-only; copy the log and all files beside"
                + " it to another folder");
  }

  private static boolean isEmpty(Path file) {
    try {
      return Files.size(file) == 0;
    } catch (IOException unknown) {
      return false;
    }
  }

  private static StorageFailure refused(Path file, String why) {
    return new StorageFailure(Kind.REFUSED, file + ": " + why);
  }
}
