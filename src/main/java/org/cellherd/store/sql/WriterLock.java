package org.cellherd.store.sql;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileStore;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.StorageFailure.Kind;
import org.jspecify.annotations.Nullable;

/**
 * Keeps the log to one writer: a lock of the system on a file beside it, gone when the process is.
 * It is not taken on the database itself, where closing it would drop SQLite's own locks.
 */
public final class WriterLock implements AutoCloseable {
  private final Path file;
  private FileChannel channel;
  private Object key;
  private boolean isLost;

  private WriterLock(Path file, FileChannel channel) {
    this.file = file;
    this.channel = channel;
    this.key = Place.keyOf(beside(file));
  }

  /** Takes the lock or fails with {@code BUSY} at once. */
  public static WriterLock take(Path file) throws StorageFailure {
    return new WriterLock(file, locked(file));
  }

  private static Path beside(Path file) {
    return file.resolveSibling(file.getFileName() + ".lock");
  }

  private static FileChannel locked(Path file) throws StorageFailure {
    Path beside = beside(file);
    FileChannel channel = open(beside);
    try {
      @Nullable FileLock lock = channel.tryLock();
      if (lock != null) {
        return channel;
      }
    } catch (IOException e) {
      closeQuietly(channel);
      throw new StorageFailure(
          Kind.REFUSED,
          beside
              + ": its disk refuses locks ("
              + e.getMessage()
              + "), as some network disks do; put the log on a disk of this computer",
          e);
    } catch (OverlappingFileLockException e) {
      closeQuietly(channel);
      throw busy(file);
    }
    closeQuietly(channel);
    throw busy(file);
  }

  /**
   * False once another has the lock, which it can get only where the file of ours was removed or
   * replaced. One that is free is taken again.
   */
  public synchronized boolean isKept() {
    if (isLost || Place.keyOf(beside(file)).equals(key)) {
      return !isLost;
    }
    try {
      FileChannel taken = locked(file);
      closeQuietly(channel);
      channel = taken;
      key = Place.keyOf(beside(file));
    } catch (StorageFailure e) {
      isLost = e.kind() == Kind.BUSY;
    }
    return !isLost;
  }

  /**
   * True when a process writes this log now; takes nothing that another would miss.
   *
   * @throws StorageFailure {@code REFUSED} when this user may not see whether one does
   */
  public static boolean isHeld(Path file) throws StorageFailure {
    Path beside = beside(file);
    if (Files.notExists(beside)) {
      return false;
    }
    try (FileChannel channel = FileChannel.open(beside, StandardOpenOption.READ);
        FileLock shared = channel.tryLock(0, Long.MAX_VALUE, true)) {
      return shared == null;
    } catch (OverlappingFileLockException ours) {
      return true;
    } catch (AccessDeniedException denied) {
      Reach.toRead(file);
      throw new StorageFailure(
          Kind.REFUSED, beside + ": permission denied to read it" + Allowed.toRead(beside), denied);
    } catch (IOException unknown) {
      return false;
    }
  }

  private static FileChannel open(Path beside) throws StorageFailure {
    try {
      return FileChannel.open(beside, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
    } catch (IOException e) {
      throw failure(beside, e);
    }
  }

  /** A full or read-only disk may mend; anything else, such as a missing right, will not. */
  private static StorageFailure failure(Path beside, IOException cause) {
    return isFull(beside)
        ? new StorageFailure(
            Kind.NO_SPACE,
            beside + ": the disk is full or cannot be written (" + said(cause) + ")",
            cause)
        : new StorageFailure(
            Kind.REFUSED,
            beside
                + (Files.exists(beside) ? ": cannot be written (" : ": cannot be made (")
                + said(cause)
                + ")",
            cause);
  }

  private static String said(IOException cause) {
    boolean isTold = cause instanceof FileSystemException system && system.getReason() != null;
    return isTold
        ? String.valueOf(((FileSystemException) cause).getReason())
        : cause instanceof NoSuchFileException ? "there is no such folder" : "permission denied";
  }

  private static boolean isFull(Path beside) {
    try {
      FileStore disk = Files.getFileStore(beside.toAbsolutePath().resolveSibling("."));
      return disk.isReadOnly() || disk.getUsableSpace() == 0;
    } catch (IOException unknown) {
      return false;
    }
  }

  private static StorageFailure busy(Path file) {
    return new StorageFailure(Kind.BUSY, file + ": another cellherd is writing this log");
  }

  private static void closeQuietly(FileChannel channel) {
    try {
      channel.close();
    } catch (IOException e) {
      System.getLogger(WriterLock.class.getName())
          .log(System.Logger.Level.DEBUG, "closing the lock: {0}", e.getMessage());
    }
  }

  @Override
  public synchronized void close() {
    closeQuietly(channel);
  }
}
