package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Bits that a card flips in blocks while the log is in use; the books balance. */
class DamagedBlocksTest {

  @TempDir Path folder;

  @Test
  void whateverBitFlipsWhatIsStoredAndWhatIsToldLostMakeAll() throws Exception {
    for (int seed = 1; seed <= 8; seed++) {
      Random random = new Random(seed);
      Path file = folder.resolve("log-" + seed + ".db");
      int hours = 4;
      int heard = hours * 3600 + 60;
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        log.writer().append("a", new SessionStart(T0, 1, true, true));
        append(log, "a", seconds(T0, hours * 3600 + 60));
        int hits = flip(file, random, hours);

        long stored = all(log, "a").stream().filter(Reading.class::isInstance).count();
        long lost = log.losses().stream().mapToLong(l -> l.readings().orElse(0)).sum();
        assertThat(stored + lost).as("seed %d", seed).isEqualTo(heard);
        assertThat(log.losses()).as("seed %d", seed).hasSize(hits);
        assertThat(log.reports()).isEmpty();
        while (log.checkNext()) {
          // Until all are checked.
        }
        assertThat(log.reports()).as("seed %d", seed).hasSize(hits);
        assertThat(log.reports()).allSatisfy(r -> assertThat(r).contains("2026-01-01", "3600"));
      }
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        while (log.checkNext()) {
          // Once more.
        }
        assertThat(log.reports()).as("told once").isEmpty();
        assertThat(log.losses()).isEmpty();
        all(log, "a");
        assertThat(log.losses()).isNotEmpty();
      }
    }
  }

  /** One bit in each of some blocks, wherever it is; how many blocks. */
  private static int flip(Path file, Random random, int blocks) throws Exception {
    List<Integer> ids =
        random.ints(1, blocks + 1).distinct().limit(1 + random.nextInt(blocks)).boxed().toList();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file)) {
      for (int id : ids) {
        byte[] data;
        try (var s = connection.createStatement();
            var row = s.executeQuery("SELECT data FROM block WHERE id = " + id)) {
          data = row.getBytes(1);
        }
        data[random.nextInt(data.length)] ^= (byte) (1 << random.nextInt(8));
        try (PreparedStatement put =
            connection.prepareStatement("UPDATE block SET data = ? WHERE id = ?")) {
          put.setBytes(1, data);
          put.setInt(2, id);
          put.executeUpdate();
        }
      }
    }
    return ids.size();
  }
}
