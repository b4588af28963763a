package org.cellherd.store.sql;

import java.nio.file.Path;
import java.sql.SQLException;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

/** What the driver's errors mean to a caller. */
final class Failures {
  private static final String NO_LOG =
      "is no log of cellherd, such as cellherd.db, or its beginning is damaged";

  private Failures() {}

  /** The failure with the file's name and what the system said. */
  public static StorageFailure of(Path file, SQLException cause) {
    Kind kind = cause instanceof SQLiteException e ? kind(e.getResultCode()) : Kind.REFUSED;
    if (kind == Kind.REFUSED
        && Stream.of("no such ", "unsupported file format").anyMatch(said(cause)::contains)) {
      // Our statements and our format never change: the schema has lost a name, the head a byte.
      kind = Kind.DAMAGED;
    }
    Optional<String> trouble = isOfFiles(cause) ? Reach.trouble(file) : Optional.empty();
    if (trouble.isPresent()) {
      return new StorageFailure(kind, file + ": " + trouble.get(), cause);
    }
    String words = hasName(cause, "SQLITE_NOTADB") ? NO_LOG : words(kind);
    if (hasName(cause, "SQLITE_CANTOPEN")) {
      // Files and folder may be used, so what is missing is a place for one more file.
      kind = Kind.NO_SPACE;
      words = "the disk is full or has no free file";
    }
    return new StorageFailure(kind, file + ": " + words + " (" + said(cause) + ")", cause);
  }

  private static boolean hasName(SQLException cause, String beginning) {
    return cause instanceof SQLiteException e && e.getResultCode().name().startsWith(beginning);
  }

  /** True where the rights and kinds of the files may be why. */
  private static boolean isOfFiles(SQLException cause) {
    return Stream.of("SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_PERM", "SQLITE_IOERR_READ")
        .anyMatch(name -> hasName(cause, name));
  }

  private static Kind kind(SQLiteErrorCode code) {
    String name = code.name();
    if (name.startsWith("SQLITE_FULL")
        || name.startsWith("SQLITE_READONLY")
        || name.equals("SQLITE_IOERR_WRITE")
        || name.equals("SQLITE_IOERR_SHMOPEN")
        || name.equals("SQLITE_IOERR_SHMSIZE")
        || name.equals("SQLITE_IOERR_SHMMAP")
        || name.equals("SQLITE_IOERR_FSYNC")
        || name.equals("SQLITE_IOERR_TRUNCATE")) {
      return Kind.NO_SPACE;
    }
    if (name.startsWith("SQLITE_BUSY") || name.startsWith("SQLITE_LOCKED")) {
      return Kind.BUSY;
    }
    if (name.startsWith("SQLITE_CORRUPT")
        || name.startsWith("SQLITE_NOTADB")
        || name.equals("SQLITE_IOERR_SHORT_READ")
        || name.equals("SQLITE_IOERR_CORRUPTFS")) {
      return Kind.DAMAGED;
    }
    return Kind.REFUSED;
  }

  private static String words(Kind kind) {
    return switch (kind) {
      case NO_SPACE -> "the disk is full or cannot be written";
      case BUSY -> "another program holds the file";
      case DAMAGED -> "the file is damaged";
      case NEWER -> "the file was written by a newer version";
      case FOREIGN -> "the file is another program's";
      case REFUSED -> "the system refused";
    };
  }

  private static String said(SQLException cause) {
    String message = String.valueOf(cause.getMessage());
    int line = message.indexOf('\n');
    return line < 0 ? message : message.substring(0, line);
  }
}
