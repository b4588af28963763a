package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import javax.imageio.ImageIO;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Files of other kinds, drawn: a writer refuses each, says what it is and leaves the folder as it
 * was. A log whose beginning was overwritten by such a file is still salvaged.
 */
class StrangerTest {

  private static final int DRAWS = Integer.getInteger("store.strangers", 60);
  private static final long SEED = Long.getLong("store.seed", 29);

  @TempDir private Path folder;

  @Test
  void aFileOfAnotherKindIsRefusedAndKept() throws Exception {
    Random random = new Random(SEED);
    for (int i = 0; i < DRAWS; i++) {
      Kind kind = Kind.values()[i % Kind.values().length];
      byte[] bytes = kind.draw(random);
      Path file = Files.write(folder.resolve("drawn-" + i), bytes);
      String name = kind + " of draw " + i + ", seed " + SEED;

      StorageFailure refused =
          catchThrowableOfType(
              StorageFailure.class, () -> LogFile.open(file, OpenMode.WRITER).close());

      assertThat(refused).as(name).hasMessageContaining(kind.said).hasMessageContaining("drawn-");
      assertThat(refused.kind()).as(name).isEqualTo(StorageFailure.Kind.FOREIGN);
      assertThat(Files.readAllBytes(file)).as(name).isEqualTo(bytes);
      Files.delete(file);
      try (Stream<Path> left = Files.list(folder)) {
        assertThat(left).as(name).isEmpty();
      }
    }
  }

  @Test
  void aLogThatBeginsLikeATextIsSalvaged() throws Exception {
    Path file = folder.resolve("log.db");
    List<? extends LogEntry> entries = Logs.seconds(T0, 3000);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", entries);
    }
    Files.deleteIfExists(folder.resolve("log.db-tail"));
    byte[] bytes = Files.readAllBytes(file);
    byte[] text = "another file's line\n".repeat(60).getBytes(StandardCharsets.US_ASCII);
    System.arraycopy(text, 0, bytes, 0, 1024);
    Files.write(file, bytes);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).hasSizeGreaterThanOrEqualTo(entries.size());
    }
  }

  /** What people have beside a log, made by who makes it. */
  private enum Kind {
    TABLE("text file"),
    TABLE_OF_WIDE_CHARACTERS("text file"),
    GZIP("gzip"),
    ZIP("zip"),
    PNG("PNG"),
    JPEG("JPEG"),
    SHORT_NOISE("only");

    final String said;

    Kind(String said) {
      this.said = said;
    }

    byte[] draw(Random random) throws IOException {
      return switch (this) {
        case TABLE -> table(random, random.nextBoolean() ? "UTF-8" : "windows-1252");
        case TABLE_OF_WIDE_CHARACTERS -> table(random, "UTF-16");
        case GZIP -> packed(random, GZIPOutputStream::new);
        case ZIP ->
            packed(
                random,
                out -> {
                  ZipOutputStream zip = new ZipOutputStream(out);
                  zip.putNextEntry(new ZipEntry("rows.csv"));
                  return zip;
                });
        case PNG -> picture(random, "png");
        case JPEG -> picture(random, "jpg");
        case SHORT_NOISE -> {
          byte[] noise = new byte[20 + random.nextInt(900)];
          random.nextBytes(noise);
          noise[0] = 0;
          yield noise;
        }
      };
    }

    private static byte[] table(Random random, String charset) {
      StringBuilder rows = new StringBuilder("time;Temperatur °C;Zelle\r\n");
      for (int i = random.nextInt(3000); i >= 0; i--) {
        rows.append(T0 + i).append(";23,").append(random.nextInt(10)).append(";ä\t\"x\"\n");
      }
      return rows.toString().getBytes(Charset.forName(charset));
    }

    /** Wraps what packs around where it goes. */
    @FunctionalInterface
    private interface Packer {
      OutputStream around(OutputStream out) throws IOException;
    }

    private static byte[] packed(Random random, Packer packer) throws IOException {
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      try (OutputStream out = packer.around(bytes)) {
        out.write(table(random, "UTF-8"));
      }
      return bytes.toByteArray();
    }

    private static byte[] picture(Random random, String format) throws IOException {
      BufferedImage image = new BufferedImage(40, 30, BufferedImage.TYPE_INT_RGB);
      for (int i = 0; i < 1200; i++) {
        image.setRGB(i % 40, i / 40, random.nextInt());
      }
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      ImageIO.write(image, format, bytes);
      return bytes.toByteArray();
    }
  }
}
