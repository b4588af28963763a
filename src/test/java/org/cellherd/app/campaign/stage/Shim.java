package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteOrder;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Map;
import org.cellherd.Tools;

/**
 * A small library before the system's own, for one process: it sets the wall clock off, lets syncs
 * wait, and refuses writes, reads or locks on one file system, by numbers in a shared file.
 * Compiled when a campaign begins.
 */
public final class Shim implements RunClock {

  /** Numbers of the shared file, each 8 bytes. */
  private static final int AHEAD_MS = 0;

  private static final int SYNC_MS = 8;
  private static final int ERRNO = 16;
  private static final int DEVICE = 24;
  private static final int ENDING = 32;
  private static final int READ_ERRNO = 40;
  private static final int LOCK_ERRNO = 48;
  private static final int BYTES = 56;

  private final MappedByteBuffer box;
  private final Path library;
  private final Path boxFile;

  /** Compiles it into a folder; it refuses nothing yet. */
  public Shim(Path folder, Path card) throws IOException {
    library = folder.resolve("shim.so");
    boxFile = folder.resolve("shim.box");
    Path source = Files.writeString(folder.resolve("shim.c"), source());
    Process compiler =
        new ProcessBuilder(
                Tools.require("gcc").toString(),
                "-shared",
                "-fPIC",
                "-O1",
                "-o",
                library.toString(),
                source.toString(),
                "-ldl")
            .inheritIO()
            .start();
    if (compiler.onExit().join().exitValue() != 0) {
      throw new IOException("the shim does not compile");
    }
    Files.write(boxFile, new byte[BYTES]);
    try (FileChannel channel =
        FileChannel.open(boxFile, StandardOpenOption.READ, StandardOpenOption.WRITE)) {
      box = channel.map(FileChannel.MapMode.READ_WRITE, 0, BYTES);
    }
    box.order(ByteOrder.nativeOrder());
    box.putLong(DEVICE, ((Number) Files.getAttribute(card, "unix:dev")).longValue());
  }

  private static String source() throws IOException {
    try (var in = Shim.class.getResourceAsStream("shim.c")) {
      if (in == null) {
        throw new IOException("no shim.c on the class path");
      }
      return new String(in.readAllBytes(), java.nio.charset.StandardCharsets.UTF_8);
    }
  }

  /** What a process must have in its environment. */
  public Map<String, String> environment() {
    return Map.of("LD_PRELOAD", library.toString(), "CAMPAIGN_BOX", boxFile.toString());
  }

  /** How long each sync waits, ms. */
  public void slowSyncs(long ms) {
    box.putLong(SYNC_MS, ms);
  }

  /** Of which files on the card something fails. */
  public enum Which {
    ALL(0),
    WRITE_AHEAD_LOG(1),
    TAIL(2);

    private final int ending;

    Which(int ending) {
      this.ending = ending;
    }
  }

  /** With which number of the system's writes to files of the card fail; 0 for none. */
  public void refuseWrites(int errno, Which which) {
    box.putLong(ENDING, which.ending);
    box.putLong(ERRNO, errno);
  }

  /** With which number reads from the card fail; 0 for none. */
  public void refuseReads(int errno) {
    box.putLong(ENDING, Which.ALL.ending);
    box.putLong(READ_ERRNO, errno);
  }

  /** With which number locks on the card fail; 0 for none. */
  public void refuseLocks(int errno) {
    box.putLong(ENDING, Which.ALL.ending);
    box.putLong(LOCK_ERRNO, errno);
  }

  @Override
  public void stepMs(long ms) {
    box.putLong(AHEAD_MS, box.getLong(AHEAD_MS) + ms);
  }

  @Override
  public long aheadMs() {
    return box.getLong(AHEAD_MS);
  }

  @Override
  public long trueMs() {
    return System.currentTimeMillis();
  }

  @Override
  public void suspend(long ms) {
    throw new UncheckedIOException(new IOException("this computer cannot sleep"));
  }

  @Override
  public void sure(boolean isSure) {
    // Nobody sets this clock by the network.
  }
}
