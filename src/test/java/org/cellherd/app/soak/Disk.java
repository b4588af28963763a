package org.cellherd.app.soak;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** A small file system of its own for the logs, which can be filled to the last byte. */
final class Disk implements AutoCloseable {

  private static final String SIZE = "size=192m";

  private final Path folder;
  private final boolean isMounted;

  private Disk(Path folder, boolean isMounted) {
    this.folder = folder;
    this.isMounted = isMounted;
  }

  /** Mounts one over a folder; without the right to, the folder stays as it is and never fills. */
  static Disk mount(Path folder) throws IOException {
    return new Disk(folder, run("mount", "-t", "tmpfs", "-o", SIZE, "tmpfs", folder.toString()));
  }

  boolean canFill() {
    return isMounted;
  }

  /** Takes all that is free. */
  void fill() {
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

  /** Gives it back. */
  void free() {
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
