package org.cellherd.app;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Objects;

/** Why a file cannot be read or written, in words: the system names the file and often no cause. */
public final class FileCause {

  private FileCause() {}

  /** The end of a verb whose user's file cannot be read. */
  public static Stop unreadable(Path file, Exception thrown) {
    return Stop.usage(file + ": cannot be read (" + of(file, thrown) + ")");
  }

  /** The end of a verb that cannot write a file where its user wants it. */
  public static Stop unwritable(Path file, Exception thrown) {
    Path folder = file.toAbsolutePath().getParent();
    // So says the system of a folder of its own, such as /proc, in which nobody makes files.
    boolean isOfTheSystem =
        thrown instanceof NoSuchFileException
            && folder != null
            && Files.isDirectory(folder)
            && !Files.isSymbolicLink(file);
    String why = isOfTheSystem ? "the folder " + folder + " takes no files" : of(file, thrown);
    return Stop.usage(file + ": cannot be written (" + why + ")");
  }

  /** The cause alone. */
  public static String of(Path file, Exception thrown) {
    if (thrown instanceof UncheckedIOException wrapped) {
      return of(file, Objects.requireNonNull(wrapped.getCause()));
    }
    Path folder = file.toAbsolutePath().getParent();
    if (Files.isDirectory(file)) {
      return "is a directory, a file is wanted";
    }
    if (folder != null && !Files.isDirectory(folder)) {
      boolean isFile = Files.exists(folder);
      return isFile ? folder + " is not a folder" : "there is no folder " + folder;
    }
    if (thrown instanceof CharacterCodingException) {
      return "is no UTF-8 text";
    }
    if (thrown instanceof NoSuchFileException) {
      return "no such file";
    }
    if (thrown instanceof FileAlreadyExistsException) {
      return "exists already";
    }
    if (thrown instanceof AccessDeniedException) {
      return "permission denied";
    }
    if (thrown instanceof FileSystemException system && system.getReason() != null) {
      return system.getReason();
    }
    return String.valueOf(thrown.getMessage());
  }

  /**
   * Refuses a place where nothing can be written, before time is spent on what would be.
   *
   * @throws Stop with exit code 2
   */
  public static void checkWritable(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    Path asked = Files.exists(file) || folder == null ? file : folder;
    if (Files.isDirectory(file) || !Files.isWritable(asked)) {
      throw unwritable(file, new AccessDeniedException(file.toString()));
    }
    if (folder != null && !Files.isDirectory(folder)) {
      throw unwritable(file, new IOException("no folder"));
    }
    if (!Files.exists(file) && !Files.isSymbolicLink(file)) {
      tryToMake(file);
    }
  }

  /** Rights alone do not tell: a disk may be read-only or full, a folder the system's own. */
  private static void tryToMake(Path file) {
    try {
      Files.delete(Files.createFile(file));
    } catch (IOException cannot) {
      throw unwritable(file, cannot);
    }
  }
}
