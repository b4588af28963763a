package org.cellherd.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;

/**
 * Puts a salvaged log in the place of the damaged one. A loss of power at any moment leaves either
 * the damaged file, to be salvaged again, or a salvaged one that is whole: see {@link #finish}.
 *
 * <pre>
 * FILE.salvaging    being made; worth nothing
 * FILE.mending      copy of FILE to work on; worth nothing
 * FILE.salvaged     whole; takes the place of FILE, which moves to FILE.damaged-N
 * </pre>
 */
final class Replacement {
  private static final String DAMAGED = ".damaged-";

  private final Path file;
  private final Path making;
  private final Path made;
  private final Path copy;
  private final Path aside;

  Replacement(Path file) {
    this.file = file;
    this.making = beside(file, ".salvaging");
    this.made = beside(file, ".salvaged");
    this.copy = beside(file, ".mending");
    this.aside = freeAside(file);
  }

  /** Finishes what a loss of power interrupted; nobody may have the file open. */
  public static void finish(Path file) throws StorageFailure {
    Replacement replacement = new Replacement(file);
    if (Files.exists(replacement.made)) {
      replacement.swap();
    }
  }

  /** True when a loss of power left a salvaged log that has not taken its place yet. */
  static boolean isWaiting(Path file) {
    return Files.exists(new Replacement(file).made);
  }

  /**
   * Gives a file that is in the way another name.
   *
   * @return a sentence that says which, with a space before it; "" where there is no file
   */
  public static String setAside(Path file) throws StorageFailure {
    if (!Files.exists(file)) {
      return "";
    }
    Path aside = freeAside(file);
    try {
      Files.move(file, aside);
    } catch (IOException e) {
      throw new StorageFailure(Kind.NO_SPACE, file + ": cannot be set aside (" + e + ")", e);
    }
    return " What is there now is kept as " + aside + ".";
  }

  static Path freeAside(Path file) {
    return beside(file, DAMAGED + freeNumber(file));
  }

  /** What was set aside last. */
  static Optional<Path> newestAside(Path file) {
    int free = freeNumber(file);
    return free == 1 ? Optional.empty() : Optional.of(beside(file, DAMAGED + (free - 1)));
  }

  private static int freeNumber(Path file) {
    int n = 1;
    while (Files.exists(beside(file, DAMAGED + n))) {
      n++;
    }
    return n;
  }

  private static Path beside(Path path, String ending) {
    return path.resolveSibling(path.getFileName() + ending);
  }

  /** Where the damaged file goes. */
  Path aside() {
    return aside;
  }

  /** Where a copy of the damaged file may be worked on. */
  Path copy() {
    return copy;
  }

  /** Where the new file is to be made; what an earlier attempt left there is gone. */
  Path begin() throws StorageFailure {
    try {
      for (Path worthless : List.of(making, copy)) {
        Files.deleteIfExists(worthless);
        Files.deleteIfExists(beside(worthless, "-wal"));
        Files.deleteIfExists(beside(worthless, "-shm"));
      }
      return making;
    } catch (IOException e) {
      throw new StorageFailure(Kind.REFUSED, making + ": cannot be replaced (" + e + ")", e);
    }
  }

  /** The new file is whole and closed: from here on it is the one that counts. */
  void put() throws StorageFailure {
    move(making, made);
    swap();
  }

  private void swap() throws StorageFailure {
    // First the write-ahead log: beside the new file it would be taken for that file's own.
    moveIfThere(beside(file, "-wal"), beside(aside, "-wal"));
    moveIfThere(beside(file, "-shm"), beside(aside, "-shm"));
    moveIfThere(file, aside);
    move(made, file);
  }

  private void moveIfThere(Path from, Path to) throws StorageFailure {
    if (Files.exists(from)) {
      move(from, to);
    }
  }

  private void move(Path from, Path to) throws StorageFailure {
    try {
      Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
    } catch (IOException e) {
      throw new StorageFailure(
          Kind.REFUSED,
          file + ": is damaged; " + from + " cannot become " + to + " (" + e + ")",
          e);
    }
  }
}
