package org.cellherd.app.soak;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;

/** How a run of the daemon ends, and what the card looks like afterwards. */
enum Ending {
  /** By SIGTERM. */
  IN_ORDER,
  /** By kill -9: the files stay as they were at that moment. */
  KILLED,
  /** By power loss: the latest minutes are cut inside their last block. */
  TORN_TAIL,
  /** By power loss: the write-ahead log is cut inside its last page. */
  TORN_WAL,
  /** By power loss, and a page in the middle of the file is random bytes. */
  DAMAGED;

  /** Each as often as any other. */
  static final List<Ending> ALL = List.of(values());

  private static final int PAGE = 4096;

  /** Does to the files what it does. */
  void strike(Path log, Random random) throws IOException {
    switch (this) {
      case IN_ORDER, KILLED -> {}
      case TORN_TAIL -> cut(log.resolveSibling(log.getFileName() + "-tail"), random);
      case TORN_WAL -> cut(log.resolveSibling(log.getFileName() + "-wal"), random);
      case DAMAGED -> damage(log, random);
    }
  }

  private static void cut(Path file, Random random) throws IOException {
    if (Files.exists(file) && Files.size(file) > PAGE) {
      try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
        bytes.setLength(bytes.length() - 1 - random.nextInt(PAGE - 1));
      }
    }
  }

  private static void damage(Path log, Random random) throws IOException {
    try (RandomAccessFile bytes = new RandomAccessFile(log.toFile(), "rw")) {
      long pages = bytes.length() / PAGE;
      if (pages < 8) {
        return;
      }
      byte[] noise = new byte[PAGE];
      random.nextBytes(noise);
      bytes.seek((2 + (long) (random.nextDouble() * (pages - 2))) * PAGE);
      bytes.write(noise);
    }
  }
}
