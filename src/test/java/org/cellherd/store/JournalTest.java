package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.LongStream;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What a centre has to learn is not forgotten: also that something is not there any more. */
class JournalTest {

  private static final long T0 = 1_767_225_600_000L;
  private static final int GAPS = 60;
  private static final int FIRST_PAGE = 512;

  @TempDir private Path folder;

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 3));
  }

  /** A log of which a centre holds some, and of which some went since. */
  private LogFile drawn(Path file, Random random) throws StorageFailure, SQLException {
    LogFile log = LogFile.open(file, OpenMode.WRITER);
    log.journal().begin(false);
    log.writer().append("crate", new SessionStart(T0, 1, true, true));
    for (int i = 1; i < GAPS; i++) {
      log.writer().append("crate", new Gap(T0 + i * 60_000L, T0 + i * 60_001L, Gap.Cause.NO_BYTES));
    }
    log.writer().commit();
    log.journal().held(random.longs(GAPS / 2, 1, GAPS).boxed().distinct().toList());
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = c.createStatement()) {
      s.execute("DELETE FROM gap WHERE id % 7 = " + random.nextInt(7));
    }
    return log;
  }

  private static Set<String> withdrawn(LogFile log) throws StorageFailure {
    Set<String> keys = new TreeSet<>();
    for (Parcel each : log.journal().after(0, Integer.MAX_VALUE)) {
      if (each.isWithdrawn()) {
        keys.add(each.kind().word() + " " + each.key());
      }
    }
    return keys;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aCentreThatIsAheadStillLearnsWhatWent(long seed) throws Exception {
    Random random = new Random(seed);
    try (LogFile log = drawn(folder.resolve("log.db"), random)) {
      Set<String> before = withdrawn(log);
      assertThat(before).hasSizeGreaterThan(GAPS / 9);
      long ahead = random.nextInt(3 * GAPS);

      log.journal().raiseAbove(ahead);

      assertThat(withdrawn(log)).isEqualTo(before);
      List<Parcel> all = log.journal().after(0, Integer.MAX_VALUE);
      assertThat(all).allMatch(each -> each.rev() > ahead).hasSize(GAPS);
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aSalvagedLogStillSaysWhatWent(long seed) throws Exception {
    Path file = folder.resolve("log.db");
    Set<String> before;
    try (LogFile log = drawn(file, new Random(seed))) {
      before = withdrawn(log);
    }
    noise(file, new Random(seed));

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.journal().begin(false);

      assertThat(withdrawn(log)).isEqualTo(before);
    }
  }

  /** Its head, so that SQLite does not take it for a database any more. */
  private static void noise(Path file, Random random) throws IOException {
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
      byte[] noise = new byte[FIRST_PAGE];
      random.nextBytes(noise);
      bytes.write(noise);
    }
  }
}
