package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.seconds;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.JavaCommand;
import org.cellherd.Tools;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.campaign.stage.Shim;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A start beside a card that refuses every write, with whatever number of the system: what is there
 * is read, what is new waits, and goes in once the card takes it again.
 */
class FailingCardTest {

  private static final int HELD = 500;

  @TempDir Path folder;

  /** EIO, ENOSPC, EROFS and EDQUOT, after a kill and after an orderly end. */
  @ParameterizedTest
  @CsvSource({
    "5, true",
    "5, false",
    "28, true",
    "28, false",
    "30, true",
    "30, false",
    "122, true",
    "122, false"
  })
  void whatIsThereIsReadAndWhatIsNewWaits(int errno, boolean isKilled) throws Exception {
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      Shim shim = new Shim(folder, card.folder());
      leave(file, isKilled);
      shim.refuseWrites(errno, Shim.Which.ALL);

      try (Start start = new Start(shim, file)) {
        start.says("opened with " + HELD);
        start.says("waits: NO_SPACE");
        shim.refuseWrites(0, Shim.Which.ALL);
        start.goOn();
        start.says("stored " + (HELD + 1));
      }
    }
  }

  /** EIO and EACCES; a log that cannot be read for a while is not one that was written over. */
  @ParameterizedTest
  @ValueSource(ints = {5, 13})
  void aLogThatCannotBeReadForAWhileIsWrittenAgain(int errno) throws Exception {
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      Shim shim = new Shim(folder, card.folder());
      leave(file, false);

      try (Start start = new Start(shim, file, "opened before")) {
        start.says("opened with " + HELD);
        shim.refuseReads(errno);
        start.goOn();
        start.says("committed|waits: .*");
        shim.refuseReads(0);
        start.goOn();
        start.says("stored " + (HELD + 1));
      }
    }
  }

  /** Reads or locks that fail from before the start on; ENOLCK is 37. A watch goes on without. */
  @ParameterizedTest
  @CsvSource({"true, 5, true", "true, 13, false", "false, 37, false", "false, 5, true"})
  void aWatchBeginsWhereTheLogCannotBeOpened(boolean isReading, int errno, boolean isKilled)
      throws Exception {
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      Shim shim = new Shim(folder, card.folder());
      leave(file, isKilled);
      refuse(shim, isReading, errno);

      try (Start start = new Start(shim, file, "in any case")) {
        start.says("opened with 0");
        start.says("waits: .*");
        refuse(shim, isReading, 0);
        start.goOn();
        start.says("stored " + (HELD + 1));
      }
    }
  }

  private static void refuse(Shim shim, boolean isReading, int errno) {
    if (isReading) {
      shim.refuseReads(errno);
    } else {
      shim.refuseLocks(errno);
    }
  }

  /** A card that is full, or takes no file, and has no log yet. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void aWatchBeginsWhereNoLogCanBeMade(boolean isFull) throws Exception {
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      fill(card, isFull);

      try (LogFile log = LogFile.openInAnyCase(file, StoreSettings.DEFAULT, why -> {})) {
        log.writer().append("a", Logs.reading(T0, 3300));
        assertThatThrownBy(log.writer()::commit).isInstanceOf(StorageFailure.class);
        empty(card, isFull);
        log.writer().commit();
        assertThat(all(log, "a")).hasSize(1);
      }
    }
  }

  /** What is to be kept of a damaged tail needs room, too; what can be read needs none. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void aDamagedTailWhereNothingIsFreeKeepsNobodyFromTheLog(boolean isFull) throws Exception {
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      leave(file, false);
      byte[] noise = new byte[60_000];
      new Random(5).nextBytes(noise);
      Files.write(Path.of(file + "-tail"), noise);
      fill(card, isFull);

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(all(log, "a")).hasSize(HELD);
        log.writer().append("a", Logs.reading(T0 + 3_600_000, 3300));
        for (int i = 0; i < 3; i++) {
          assertThatThrownBy(log.writer()::commit)
              .isInstanceOfSatisfying(
                  StorageFailure.class,
                  e -> assertThat(e.kind()).isEqualTo(StorageFailure.Kind.NO_SPACE));
        }
        empty(card, isFull);
        log.writer().commit();
        assertThat(all(log, "a")).hasSize(HELD + 1);
        assertThat(log.reports()).first().asString().contains("-tail is damaged");
      }
    }
  }

  /** A damaged log cannot be salvaged where nothing is free; the watch begins all the same. */
  @ParameterizedTest
  @CsvSource({"21, true", "22, true", "23, true", "24, false", "25, false", "26, false"})
  void aWatchBeginsBesideADamagedLogAndNoRoomToSalvageIt(long seed, boolean isFull)
      throws Exception {
    Random random = new Random(7919 * seed);
    try (Card card = mounted()) {
      Path file = card.folder().resolve("log.db");
      leave(file, false);
      damage(file, random);
      fill(card, isFull);

      int before;
      List<StorageFailure> why = new ArrayList<>();
      try (LogFile log = LogFile.openInAnyCase(file, StoreSettings.DEFAULT, why::add)) {
        before = all(log, "a").size();
        log.writer().append("a", Logs.reading(T0 + 3_600_000, 3300));
        assertThatThrownBy(log.writer()::commit).isInstanceOf(StorageFailure.class);
        empty(card, isFull);
        log.writer().commit();
      }

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(why)
            .singleElement()
            .satisfies(
                e -> {
                  assertThat(e.kind()).isEqualTo(StorageFailure.Kind.NO_SPACE);
                  assertThat(e)
                      .hasMessageContaining("the disk is full")
                      .hasMessageEndingWith("; it needs salvage, too");
                });
        assertThat(all(log, "a"))
            .hasSizeGreaterThan(before)
            .last()
            .isEqualTo(Logs.reading(T0 + 3_600_000, 3300));
      }
    }
  }

  private static void damage(Path file, Random random) throws IOException {
    byte[] bytes = Files.readAllBytes(file);
    if (random.nextBoolean()) {
      Files.write(
          file, Arrays.copyOf(bytes, (int) (bytes.length * (0.3 + 0.6 * random.nextDouble()))));
      return;
    }
    byte[] noise = new byte[1 + random.nextInt(bytes.length / 2)];
    random.nextBytes(noise);
    int at = 100 + random.nextInt(bytes.length - 100 - noise.length);
    System.arraycopy(noise, 0, bytes, at, noise.length);
    Files.write(file, bytes);
  }

  /** However often a start fails later on, of what lies there one copy is enough. */
  @Test
  void whatWasSetAsideAlreadyIsNotCopiedAgain() throws Exception {
    Path file = folder.resolve("log.db");
    byte[] noise = new byte[60_000];
    new Random(6).nextBytes(noise);
    for (int i = 0; i < 3; i++) {
      Files.write(Path.of(file + "-tail"), noise);
      LogFile.open(file, OpenMode.WRITER).close();
    }

    assertThat(Path.of(file + "-tail.damaged-1")).hasBinaryContent(noise);
    assertThat(Path.of(file + "-tail.damaged-2")).doesNotExist();
  }

  private static void fill(Card card, boolean isFull) {
    if (isFull) {
      card.fill();
    } else {
      card.takeFiles();
    }
  }

  private static void empty(Card card, boolean isFull) throws IOException {
    if (isFull) {
      card.free();
    } else {
      card.freeFiles();
    }
  }

  /** A log with a tail and a write-ahead log beside it, or one that was closed. */
  private void leave(Path file, boolean isKilled) throws Exception {
    Path live = isKilled ? folder.resolve("live.db") : file;
    try (LogFile log = LogFile.open(live, OpenMode.WRITER)) {
      for (Reading reading : seconds(T0, HELD)) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs());
      }
      log.writer().commit();
      if (isKilled) {
        for (String ending : List.of("", "-wal", "-shm")) {
          Files.copy(Path.of(live + ending), Path.of(file + ending));
        }
      }
    }
  }

  /** A small file system of the test's own. */
  private Card mounted() throws IOException {
    Card card = Card.mount(Files.createDirectory(folder.resolve("card")));
    if (!card.isOurs()) {
      throw Tools.missing("no right to mount a small file system");
    }
    return card;
  }

  /** {@link Child} as a process of its own, which a shim lies to; it must end well. */
  private static final class Start implements AutoCloseable {
    private final Process process;
    private final BufferedReader said;
    private final List<String> before = new ArrayList<>();

    Start(Shim shim, Path file, String... more) throws IOException {
      ProcessBuilder builder =
          new ProcessBuilder(
              JavaCommand.of(JavaCommand.SHORT, Child.class.getName(), file.toString()));
      builder.command().addAll(List.of(more));
      builder.environment().putAll(shim.environment());
      process = builder.redirectError(ProcessBuilder.Redirect.INHERIT).start();
      said = process.inputReader(StandardCharsets.UTF_8);
    }

    void says(String pattern) throws IOException {
      String line = said.readLine();
      assertThat(line).as("after %s", before).matches(pattern);
      before.add(line);
    }

    void goOn() throws IOException {
      process.outputWriter(StandardCharsets.UTF_8).append('c').flush();
    }

    @Override
    public void close() throws IOException {
      process.outputWriter(StandardCharsets.UTF_8).close();
      assertThat(process.onExit().join().exitValue()).as("after %s", before).isZero();
    }
  }

  /** The program at its start. */
  static final class Child {

    private Child() {}

    /** Opens a log, says what it holds, and stores a reading as soon as it can. */
    public static void main(String[] args) throws Exception {
      Path path = Path.of(args[0]);
      boolean inAnyCase = args.length > 1 && args[1].equals("in any case");
      try (LogFile log =
          inAnyCase
              ? LogFile.openInAnyCase(path, StoreSettings.DEFAULT, why -> {})
              : LogFile.open(path, OpenMode.WRITER)) {
        System.out.println("opened with " + all(log, "a").size());
        if (args.length > 1 && !inAnyCase && System.in.read() < 0) {
          return;
        }
        log.writer().append("a", Logs.reading(T0 + 3_600_000, 3300));
        try {
          log.writer().commit();
          System.out.println("committed");
        } catch (StorageFailure refused) {
          System.out.println("waits: " + refused.kind());
        }
        if (System.in.read() >= 0) {
          log.writer().commit();
          System.out.println("stored " + all(log, "a").size());
        }
      }
    }
  }
}
