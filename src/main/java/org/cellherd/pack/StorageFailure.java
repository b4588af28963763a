package org.cellherd.pack;

/** The log could not be read or written. The message names the file and what the system said. */
public final class StorageFailure extends Exception {

  /** What the caller should do about it. */
  public enum Kind {
    /** The disk is full or read-only: keep the newest readings in memory and try again. */
    NO_SPACE,
    /** Another program holds the file: try again, then say so. */
    BUSY,
    /** The file is damaged: move it aside, salvage, go on in a new one. */
    DAMAGED,
    /** The file was written by a newer version: refuse, change nothing. */
    NEWER,
    /** The file is another program's: refuse, change nothing. */
    FOREIGN,
    /** Anything else that the system refused. */
    REFUSED
  }

  private final Kind kind;

  public StorageFailure(Kind kind, String message, Throwable cause) {
    super(message, cause);
    this.kind = kind;
  }

  public StorageFailure(Kind kind, String message) {
    super(message);
    this.kind = kind;
  }

  /** True where the file may open later without anybody choosing another. */
  public boolean mayPass() {
    return kind != Kind.NEWER && kind != Kind.FOREIGN && kind != Kind.BUSY;
  }

  /** What the caller should do about it. */
  public Kind kind() {
    return kind;
  }
}
