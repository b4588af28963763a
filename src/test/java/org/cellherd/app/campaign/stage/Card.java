package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;

/**
 * A small file system of its own for the logs, which can be filled to the last byte or robbed of
 * its last free file.
 */
public final class Card implements AutoCloseable {

  private static final String SIZE = "size=192m,nr_inodes=1k";

  private final Path folder;
  private final boolean isMounted;

  private Card(Path folder, boolean isMounted) {
    this.folder = folder;
    this.isMounted = isMounted;
  }

  /** Mounts one over a folder; without the right to, the folder stays as it is and never fills. */
  public static Card mount(Path folder) throws IOException {
    return mount(folder, SIZE);
  }

  /** The same of another size, in the words of {@code mount -o} for a tmpfs. */
  public static Card mount(Path folder, String size) throws IOException {
    return new Card(folder, run("mount", "-t", "tmpfs", "-o", size, "tmpfs", folder.toString()));
  }

  /** Takes away one that an earlier run left there. */
  public static void release(Path folder) throws IOException {
    run("umount", "-l", folder.toString());
  }

  /** Where it lies. */
  public Path folder() {
    return folder;
  }

  /** False where there was no right to mount it: then it never fills. */
  public boolean isOurs() {
    return isMounted;
  }

  /** True while nothing is free. */
  boolean isFull() {
    return Files.exists(ballast());
  }

  /** Takes all that is free. */
  public void fill() {
    if (!isMounted) {
      return;
    }
    try (OutputStream out = Files.newOutputStream(ballast())) {
      for (int size = 1 << 20; size > 0; size >>= 4) {
        writeUntilFull(out, new byte[size]);
      }
    } catch (IOException unexpected) {
      throw new UncheckedIOException(unexpected);
    }
  }

  private static void writeUntilFull(OutputStream out, byte[] piece) {
    try {
      while (true) {
        out.write(piece);
      }
    } catch (IOException full) {
      // As wanted.
    }
  }

  /** Makes so many empty files that no other can be made. */
  public void takeFiles() {
    try {
      Files.createDirectories(folder.resolve("many"));
      for (int i = 0; ; i++) {
        Files.createFile(folder.resolve("many").resolve(Integer.toString(i)));
      }
    } catch (IOException noMore) {
      // As wanted.
    }
  }

  /** Deletes them again. */
  public void freeFiles() throws IOException {
    try (Stream<Path> files = Files.list(folder.resolve("many"))) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
  }

  /**
   * Mounts it anew as one that may only be read, or as before; nobody may have files of it open.
   */
  public void readOnly(boolean isOnly) throws IOException {
    String how = "remount," + (isOnly ? "ro" : "rw");
    if (!run("mount", "-o", how, folder.toString())) {
      throw new IOException(folder + " cannot be mounted anew: " + how);
    }
  }

  /** Gives it back. */
  public void free() {
    try {
      Files.deleteIfExists(ballast());
    } catch (IOException unexpected) {
      throw new UncheckedIOException(unexpected);
    }
  }

  private Path ballast() {
    return folder.resolve("ballast");
  }

  @Override
  public void close() throws IOException {
    if (isMounted) {
      run("umount", "-l", folder.toString());
    }
  }

  private static boolean run(String... command) throws IOException {
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    return process.onExit().join().exitValue() == 0;
  }
}
