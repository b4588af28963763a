package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.LongSummaryStatistics;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What a writer finds at its start, drawn: each file of a killed log as it was, gone, empty, cut,
 * rubbish or another log's. The judge searches the files for the bytes of each row of readings:
 * what was in them must be in the log afterwards, or in a file that was set aside.
 */
class StartStatesTest {

  private static final int DRAWS = Integer.getInteger("store.states", 20);

  /** Draws before this one are drawn and not judged. */
  private static final int FROM = Integer.getInteger("store.from", 0);

  private static final long SEED = Long.getLong("store.seed", 91);

  /** A row of readings in pieces so long is found where its bytes are, page borders or not. */
  private static final int PIECE = 24;

  @TempDir static Path folder;

  private static Map<String, byte[]> ours = Map.of();
  private static Map<String, byte[]> theirs = Map.of();
  private static List<Row> rows = List.of();

  /** How the pieces of all rows begin, so that a file is gone through once for all of them. */
  private static Set<Long> heads = Set.of();

  private enum State {
    KEPT,
    MISSING,
    EMPTY,
    CUT,
    RUBBISH,
    OTHERS;

    byte[] of(byte[] own, byte[] other, Random random) {
      return switch (this) {
        case KEPT -> own;
        case MISSING, EMPTY -> new byte[0];
        case CUT -> Arrays.copyOf(own, own.length == 0 ? 0 : random.nextInt(own.length));
        case RUBBISH -> {
          byte[] noise = new byte[own.length];
          random.nextBytes(noise);
          yield noise;
        }
        case OTHERS -> other;
      };
    }
  }

  /** The files beside a log by their endings. */
  private enum Part {
    MAIN(""),
    WAL("-wal"),
    SHM("-shm"),
    TAIL("-tail"),
    BROKER("-broker"),
    LOCK(".lock");

    final String ending;

    Part(String ending) {
      this.ending = ending;
    }
  }

  /** Readings that were stored together, and their bytes. */
  private record Row(List<Reading> readings, Set<ByteBuffer> pieces) {
    static Row of(ReadingsRow row) throws Exception {
      byte[] bytes = row.packed().bytes();
      Set<ByteBuffer> pieces = new HashSet<>();
      for (int at = 0; at + PIECE <= bytes.length; at += PIECE) {
        pieces.add(ByteBuffer.wrap(bytes, at, PIECE));
      }
      return new Row(row.readings(), pieces);
    }
  }

  @BeforeAll
  static void writeTwoLogs() throws Exception {
    ours = killed("ours", 3300, 1);
    theirs = killed("theirs", 3500, 3);
    lay(ours, folder.resolve("look.db"));
    List<Row> found = new ArrayList<>();
    Path look = folder.resolve("look.db");
    for (ReadingsRow row : Tail.read(look)) {
      found.add(Row.of(row));
    }
    try (Database database = Database.open(look, OpenMode.READER, StoreSettings.DEFAULT)) {
      for (String table : List.of("recent", "block")) {
        database.plain(
            c -> {
              try (var s = c.createStatement();
                  var r = s.executeQuery("SELECT " + ReadingsRow.COLUMNS + " FROM " + table)) {
                while (r.next()) {
                  found.add(Row.of(ReadingsRow.of(r)));
                }
              } catch (java.sql.SQLException e) {
                throw e;
              } catch (Exception e) {
                throw new IllegalStateException(e);
              }
            });
      }
    }
    rows = found;
    heads =
        found.stream()
            .flatMap(row -> row.pieces().stream())
            .map(piece -> piece.getLong(piece.position()))
            .collect(Collectors.toSet());
  }

  /** Whatever in a file may be a piece of a row, at any place. */
  private static Set<ByteBuffer> piecesIn(byte[] file) {
    ByteBuffer bytes = ByteBuffer.wrap(file);
    Set<ByteBuffer> pieces = new HashSet<>();
    for (int at = 0; at + PIECE <= file.length; at++) {
      if (heads.contains(bytes.getLong(at))) {
        pieces.add(ByteBuffer.wrap(file, at, PIECE));
      }
    }
    return pieces;
  }

  /** Two and a half hours with alerts in between, and the files of the moment of a kill. */
  private static Map<String, byte[]> killed(String name, int mv, int hours) throws Exception {
    Path file = folder.resolve(name + ".db");
    Random random = new Random(mv);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().append("a", new SessionStart(T0, log.writer().nextRun(), true, true));
      int last = hours * 3600 + 1800;
      for (int i = 0; i < last; i++) {
        log.writer().append("a", noisy(T0 + i * 1000L, mv, random));
        log.writer().commitIfDue(i * 1000L);
        if (i % 997 == 0) {
          log.alertLog().commit(AlertsTest.someEvents(1 + i / 997));
        }
      }
      return read(file);
    }
  }

  private static Reading noisy(long timeMs, int mv, Random random) {
    return Reading.at(timeMs)
        .cells(CellVoltages.ofMv(mv + random.nextInt(40), mv + random.nextInt(40)))
        .currentMa(random.nextInt(5000))
        .build();
  }

  private static Map<String, byte[]> read(Path file) throws IOException {
    Map<String, byte[]> bytes = new java.util.HashMap<>();
    for (Part part : Part.values()) {
      Path path = file.resolveSibling(file.getFileName() + part.ending);
      bytes.put(part.ending, Files.exists(path) ? Files.readAllBytes(path) : new byte[0]);
    }
    return bytes;
  }

  private static void lay(Map<String, byte[]> files, Path file) throws IOException {
    for (Map.Entry<String, byte[]> each : files.entrySet()) {
      Files.write(file.resolveSibling(file.getFileName() + each.getKey()), each.getValue());
    }
  }

  @Test
  void nothingThatCouldBeReadIsOverwrittenAndWhatWasDoneIsSaid() throws Exception {
    Random random = new Random(SEED);
    for (int draw = 0; draw < DRAWS; draw++) {
      Map<Part, State> states = new EnumMap<>(Part.class);
      for (Part part : Part.values()) {
        State[] all = State.values();
        states.put(part, random.nextInt(3) == 0 ? State.KEPT : all[random.nextInt(all.length)]);
      }
      judge(draw, states, random);
    }
  }

  /** Cut within the last pages, where rows end that SQLite's own check does not read. */
  @Test
  void fileThatLostItsLastBytesIsReadAfterTheNextStart() throws Exception {
    Random random = new Random(SEED);
    byte[] main = ours.getOrDefault("", new byte[0]);
    byte[] frames = ours.getOrDefault("-wal", new byte[0]);
    for (int draw = 0; draw < 8; draw++) {
      Path place = Files.createDirectory(folder.resolve("cut-" + draw));
      int cut = 1 + random.nextInt(draw < 4 ? 512 : 2048);
      int cutFrames = draw % 2 == 0 ? random.nextInt(16_384) : frames.length;
      Files.write(place.resolve("log.db"), Arrays.copyOf(main, main.length - cut));
      Files.write(place.resolve("log.db-wal"), Arrays.copyOf(frames, frames.length - cutFrames));
      try (LogFile log = LogFile.open(place.resolve("log.db"), OpenMode.WRITER)) {
        assertThat(all(log, "a")).as("cut by %d and %d", cut, cutFrames).isNotEmpty();
      }
    }
  }

  /** The owner moved the log away, and what SQLite keeps beside it. */
  @Test
  void logMadeOfItsTailAloneIsSaidToBeAllThatIsLeft() throws Exception {
    Map<Part, State> states = new EnumMap<>(Part.class);
    for (Part part : Part.values()) {
      states.put(part, part == Part.TAIL ? State.KEPT : State.MISSING);
    }
    judge(Math.max(DRAWS, FROM), states, new Random(SEED));
  }

  private static void judge(int draw, Map<Part, State> states, Random random) throws Exception {
    String name = "seed " + SEED + " draw " + draw + " " + states;
    Path place = Files.createDirectory(folder.resolve("draw-" + draw));
    Path file = place.resolve("log.db");
    Set<ByteBuffer> struck = new HashSet<>();
    for (Map.Entry<Part, State> each : states.entrySet()) {
      String ending = each.getKey().ending;
      byte[] own = ours.getOrDefault(ending, new byte[0]);
      byte[] other = theirs.getOrDefault(ending, new byte[0]);
      byte[] bytes = each.getValue().of(own, other, random);
      if (each.getValue() != State.MISSING && draw >= FROM) {
        Files.write(place.resolve("log.db" + ending), bytes);
      }
      struck.addAll(piecesIn(bytes));
    }
    if (draw < FROM) {
      return;
    }
    List<Row> recoverable = rows.stream().filter(row -> struck.containsAll(row.pieces())).toList();

    Set<LogEntry> found;
    List<String> reports;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      found = new HashSet<>(all(log, "a"));
      reports = log.reports();
      writeOn(log);
    }

    Set<ByteBuffer> aside = asideIn(place);
    List<Row> lost =
        recoverable.stream()
            .filter(row -> !found.containsAll(row.readings()) && !aside.containsAll(row.pieces()))
            .toList();
    assertThat(lost).as(name).extracting(row -> row.readings().get(0).timeMs() - T0).isEmpty();
    boolean all = rows.stream().allMatch(row -> found.containsAll(row.readings()));
    if (!all && isSeen(states)) {
      assertThat(reports).as(name).isNotEmpty();
      extent(found).ifPresent(said -> assertThat(reports).as(name).contains(said));
    }
    boolean isMixed =
        found.stream().anyMatch(e -> e instanceof Reading r && r.cells().tenthMv(1) < 34_000)
            && found.stream()
                .anyMatch(e -> e instanceof Reading r && r.cells().tenthMv(1) > 34_000);
    assertThat(isMixed).as("%s: readings of two logs in one", name).isFalse();
    try (Stream<Path> files = Files.walk(place)) {
      for (Path each : files.sorted(java.util.Comparator.reverseOrder()).toList()) {
        Files.delete(each);
      }
    }
  }

  /** What is to be said of what is left; nothing where no reading is. */
  private static Optional<String> extent(Set<LogEntry> found) {
    LongSummaryStatistics times =
        found.stream()
            .filter(Reading.class::isInstance)
            .mapToLong(LogEntry::timeMs)
            .summaryStatistics();
    return times.getCount() == 0
        ? Optional.empty()
        : Optional.of(
            "Pack a: the log now holds readings from "
                + Loss.time(times.getMin())
                + " to "
                + Loss.time(times.getMax())
                + "; any before or after are lost.");
  }

  /**
   * False where what is left looks like what a loss of power leaves: frames at the end of a
   * write-ahead log, a tail or both that are not there. The restart itself is told of then.
   */
  private static boolean isSeen(Map<Part, State> states) {
    State main = states.get(Part.MAIN);
    State wal = states.get(Part.WAL);
    boolean nothingLeft =
        main == State.MISSING && wal != State.KEPT && states.get(Part.TAIL) != State.KEPT;
    return main != State.OTHERS
        && !nothingLeft
        && (main != State.KEPT
            || wal == State.RUBBISH
            || wal == State.OTHERS
            || (states.get(Part.TAIL) != State.KEPT && states.get(Part.TAIL) != State.MISSING));
  }

  /** Three more hours, so that everything that is to be overwritten is. */
  private static void writeOn(LogFile log) throws StorageFailure {
    long later = T0 + 100 * HOUR;
    log.writer().append("b", new SessionStart(later, log.writer().nextRun(), true, false));
    Random random = new Random(9);
    for (int i = 0; i < 3 * 3600; i += 2) {
      log.writer().append("b", noisy(later + i * 1000L, 3400, random));
      log.writer().commitIfDue(i * 1000L);
    }
  }

  private static Set<ByteBuffer> asideIn(Path place) throws IOException {
    try (Stream<Path> files = Files.list(place)) {
      Set<ByteBuffer> aside = new HashSet<>();
      for (Path each :
          files
              .filter(p -> p.getFileName().toString().contains(".damaged-"))
              .collect(Collectors.toList())) {
        aside.addAll(piecesIn(Files.readAllBytes(each)));
      }
      return aside;
    }
  }
}
