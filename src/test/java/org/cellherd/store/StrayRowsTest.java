package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** SQLite itself writes the files. */
class StrayRowsTest {
  private static final int ROWS = 400;

  @TempDir Path folder;
  private final Random random = new Random(17);

  @ParameterizedTest
  @ValueSource(ints = {512, 1024, 4096, 65_536})
  void findsWhatWasWrittenWithoutAnyInnerPage(int pageBytes) throws Exception {
    Path file = folder.resolve("rows.db");
    Map<Long, String> written = write(file, pageBytes);
    byte[] bytes = Files.readAllBytes(file);
    byte[] noise = new byte[pageBytes - 100];
    random.nextBytes(noise);
    System.arraycopy(noise, 0, bytes, 100, noise.length);
    for (int page = 1; page < bytes.length / pageBytes; page++) {
      if (bytes[page * pageBytes] == 5) {
        Arrays.fill(bytes, page * pageBytes, (page + 1) * pageBytes, (byte) 0xee);
      }
    }
    Files.write(file, bytes);

    assertThat(read(file)).isEqualTo(written);
  }

  @Test
  void noiseIsNoRowAndNoFailure() throws Exception {
    for (int round = 0; round < 200; round++) {
      byte[] bytes = new byte[1024 * 12];
      random.nextBytes(bytes);
      bytes[16] = 4;
      bytes[17] = 0;
      for (int page = 1; page < 12; page++) {
        bytes[page * 1024] = 13;
      }
      Path file = Files.write(folder.resolve("noise"), bytes);

      assertThat(read(file)).isEmpty();
    }
  }

  @Test
  void aChainOfPagesThatEndsInItselfEnds() throws Exception {
    Path file = folder.resolve("rows.db");
    write(file, 512);
    byte[] bytes = Files.readAllBytes(file);
    // Every pointer to a next page leads to page 3.
    for (int page = 2; page < bytes.length / 512; page++) {
      if (bytes[page * 512] == 0) {
        bytes[page * 512 + 3] = 3;
      }
    }
    Files.write(file, bytes);

    assertThat(read(file).size()).isLessThanOrEqualTo(ROWS);
  }

  private Map<Long, String> write(Path file, int pageBytes) throws SQLException {
    Map<Long, String> rows = new HashMap<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA page_size=" + pageBytes);
      statement.execute("CREATE TABLE some(id INTEGER PRIMARY KEY, a, b, c)");
      connection.setAutoCommit(false);
      try (PreparedStatement insert =
          connection.prepareStatement("INSERT INTO some VALUES (?, ?, ?, ?)")) {
        for (int i = 0; i < ROWS; i++) {
          long id = random.nextLong() >> random.nextInt(64);
          Object[] row = {value(), value(), value()};
          if (rows.putIfAbsent(id, words(row)) == null) {
            insert.setLong(1, id);
            for (int k = 0; k < 3; k++) {
              insert.setObject(k + 2, row[k]);
            }
            insert.executeUpdate();
          }
        }
      }
      connection.commit();
    }
    return rows;
  }

  private @Nullable Object value() {
    return switch (random.nextInt(6)) {
      case 0 -> random.nextLong() >> random.nextInt(64);
      case 1 -> (long) random.nextInt(3);
      case 2 -> random.nextGaussian() + 0.1;
      case 3 -> "\u00e4\u2192x".repeat(random.nextInt(40));
      case 4 -> bytes(random.nextInt(9_000));
      default -> null;
    };
  }

  private byte[] bytes(int count) {
    byte[] bytes = new byte[count];
    random.nextBytes(bytes);
    return bytes;
  }

  private static Map<Long, String> read(Path file) throws IOException, SQLException {
    Map<Long, String> rows = new HashMap<>();
    try (StrayRows strays = StrayRows.of(file)) {
      strays.forEach(
          Set.of(),
          (number, columns) -> {
            if (columns.length == 4 && columns[0] == null) {
              rows.put(number, words(Arrays.copyOfRange(columns, 1, 4)));
            }
          });
    }
    return rows;
  }

  private static String words(Object[] row) {
    List<String> words = new ArrayList<>(Collections.nCopies(row.length, ""));
    for (int i = 0; i < row.length; i++) {
      words.set(
          i, row[i] instanceof byte[] bytes ? "bytes " + Arrays.hashCode(bytes) : row[i] + "");
    }
    return String.join(",", words);
  }
}
