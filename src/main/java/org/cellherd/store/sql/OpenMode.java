package org.cellherd.store.sql;

/** What a log file is opened for. */
public enum OpenMode {
  /** The one writer: creates, migrates and, where damaged, salvages the file. */
  WRITER,
  /** Reads a file that a writer may be writing; changes nothing. */
  READER
}
