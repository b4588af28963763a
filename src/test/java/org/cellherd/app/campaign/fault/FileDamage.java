package org.cellherd.app.campaign.fault;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;

/** What is done to a file. */
final class FileDamage {

  private static final int PAGE = 4096;

  private FileDamage() {}

  static Path beside(Path log, String ending) {
    return log.resolveSibling(log.getFileName() + ending);
  }

  /** By power loss: cut inside its last block. */
  static void tear(Path file, Random random) throws IOException {
    if (Files.exists(file) && Files.size(file) > PAGE) {
      try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
        bytes.setLength(bytes.length() - 1 - random.nextInt(PAGE - 1));
      }
    }
  }

  /** Cut anywhere; to nothing where the share is 0. */
  static void cut(Path file, double share) throws IOException {
    if (Files.exists(file)) {
      try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
        bytes.setLength((long) (bytes.length() * share));
      }
    }
  }

  /** A page behind the first two, or of a short file any, becomes random bytes. */
  static void noise(Path file, Random random) throws IOException {
    if (!Files.exists(file) || Files.size(file) < PAGE) {
      return;
    }
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
      long pages = bytes.length() / PAGE;
      long first = pages < 8 ? 0 : 2;
      byte[] noise = new byte[PAGE];
      random.nextBytes(noise);
      bytes.seek((first + (long) (random.nextDouble() * (pages - first))) * PAGE);
      bytes.write(noise);
    }
  }

  /** One bit anywhere behind the first page. */
  static void flip(Path file, Random random) throws IOException {
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
      long at = PAGE + (long) (random.nextDouble() * Math.max(1, bytes.length() - PAGE));
      if (at < bytes.length()) {
        bytes.seek(at);
        int old = bytes.read();
        bytes.seek(at);
        bytes.write(old ^ 1 << random.nextInt(8));
      }
    }
  }
}
