package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.rule.Restarted;
import org.cellherd.app.ExitCode;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The program in processes of its own, on real lines, stopped in every way. */
class ProgramTest {

  @TempDir private Path folder;

  private void config(String link, String broker) throws IOException {
    String mqtt = broker.isEmpty() ? "" : "[mqtt]\nurl = \"" + broker + "\"\n";
    OneBoard.config(folder, link, mqtt);
  }

  private List<LogEntry> entries() throws StorageFailure {
    List<LogEntry> entries = new ArrayList<>();
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      file.history().replay("crate", Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
    }
    return entries;
  }

  private long readings() {
    try {
      return Files.exists(folder.resolve("log.db"))
          ? entries().stream().filter(Reading.class::isInstance).count()
          : 0;
    } catch (StorageFailure notYet) {
      return 0;
    }
  }

  private Program board(String scenario) throws IOException, InterruptedException {
    return board(scenario, 300);
  }

  private Program board(String scenario, int speed) throws IOException, InterruptedException {
    return OneBoard.start(folder, scenario, "--speed", Integer.toString(speed));
  }

  @Test
  void serialNightWithThePlugPulledIsOneGapAndNothingElseIsLost() throws Exception {
    String socat = Tools.require("socat").toString();
    List<String> pair =
        List.of(
            socat,
            "pty,raw,echo=0,link=" + folder.resolve("boardside"),
            "pty,raw,echo=0,link=" + folder.resolve("ourside"));
    config(folder.resolve("ourside").toString(), "");
    String[] simulate = {
      "simulate", "first-night", "--link", folder.resolve("boardside").toString(), "--speed", "60"
    };
    try (Program cable = Program.start(folder, pair)) {
      Program.until(() -> Files.exists(folder.resolve("boardside")), "the pair");
      try (Program board = Program.start(folder, simulate);
          Program daemon = Program.start(folder, "run")) {
        board.awaitText("playing");
        Program.until(() -> readings() >= 10, "ten readings");
        cable.terminate();
        daemon.awaitText("silent (port-missing");
        board.kill();

        try (Program again = Program.start(folder, pair)) {
          Program.until(() -> Files.exists(folder.resolve("boardside")), "the pair");
          try (Program second = Program.start(folder, simulate)) {
            second.awaitText("playing");
            daemon.awaitText("heard again");
            long before = readings();
            Program.until(() -> readings() >= before + 5, "readings after the gap");
            assertThat(daemon.terminate()).isEqualTo(143);
          }
          again.terminate();
        }
      }
    }

    List<LogEntry> entries = entries();
    assertThat(entries.get(0)).isInstanceOf(SessionStart.class);
    List<Integer> gone =
        IntStream.range(0, entries.size())
            .filter(at -> entries.get(at) instanceof Gap g && g.cause() == Gap.Cause.PORT_MISSING)
            .boxed()
            .toList();
    assertThat(gone).isNotEmpty();
    assertThat(entries.subList(gone.get(0), gone.get(gone.size() - 1)))
        .as("one silence, however often it was told")
        .noneMatch(Reading.class::isInstance);
    // The port may be back before the board, and on a loaded computer a board may answer late.
    assertThat(entries.stream().filter(Gap.class::isInstance).map(e -> ((Gap) e).cause()))
        .doesNotContain(Gap.Cause.UNKNOWN, Gap.Cause.SKIPPED);
    assertThat(entries.stream().filter(SessionStart.class::isInstance)).hasSize(1);
  }

  /** Kills are few here; {@code -Dcellherd.kills=20} makes it a campaign. */
  @Test
  void killedAgainAndAgainItLosesAtMostWhatMayBeAtRiskAndNoAlert() throws Exception {
    int kills = Integer.getInteger("cellherd.kills", 3);
    List<String> received = Collections.synchronizedList(new ArrayList<>());
    List<Long> lost = new ArrayList<>();
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(
                broker.url(),
                "cellherd/bench/#",
                (t, payload, r) -> received.add(t + " " + payload));
        Program board = board("runaway", Math.max(1, 300 / kills))) {
      config(OneBoard.link(board), broker.url().toString());
      for (int i = 0; i < kills; i++) {
        try (Program daemon = Program.start(folder, "run")) {
          long before = readings();
          String which = "readings of run " + (i + 1);
          daemon.await(() -> readings() > before + 8, which);
          long atKill = System.currentTimeMillis();
          daemon.kill();
          lost.add(atKill - newest());
        }
      }
      Program.until(
          () -> received.stream().anyMatch(m -> m.startsWith("cellherd/bench/link lost")),
          "the last will");
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(() -> undelivered() == 0, "all events delivered");
        long before = readings();
        Program.until(() -> readings() > before + 3, "readings of the last run");
        assertThat(daemon.terminate()).isEqualTo(143);
      }
      Program.until(
          () -> received.stream().anyMatch(m -> m.startsWith("cellherd/bench/link stopped")),
          "the farewell");
      assertThat(ear).isNotNull();
    }

    System.out.println("kill -9 x " + kills + ", readings at risk lost, ms each: " + lost);
    assertThat(lost).allMatch(ms -> ms < 10_000);
    List<AlertEvent> events = events();
    assertThat(events.stream().filter(e -> e.alert().key().rule().equals(Restarted.ID)))
        .hasSize(kills);
    assertThat(new HashSet<>(events.stream().map(AlertEvent::id).toList())).hasSameSizeAs(events);
    for (AlertEvent event : events) {
      assertThat(received)
          .anyMatch(m -> m.startsWith("cellherd/bench/crate/event") && m.contains(event.id()));
    }
  }

  private long newest() throws StorageFailure {
    List<LogEntry> entries = entries();
    return entries.get(entries.size() - 1).timeMs();
  }

  private List<AlertEvent> events() throws StorageFailure {
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      return file.events("crate", Long.MIN_VALUE, Long.MAX_VALUE).stream()
          .map(s -> s.event())
          .toList();
    }
  }

  private long undelivered() {
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      return file.alertLog().waitingCount();
    } catch (StorageFailure busy) {
      return -1;
    }
  }

  @Test
  void secondDaemonAndImportAreRefusedWhileTheLogIsInUse() throws Exception {
    try (Program board = board("first-night")) {
      config(OneBoard.link(board), "");
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(() -> readings() > 0, "a reading");

        Program.Ended second = Program.run(folder, "run");
        assertThat(second.code()).isEqualTo(ExitCode.STORE);
        assertThat(second.text()).contains("log.db");
        assertThat(second.text().lines().findFirst().orElse("")).endsWith(Cautions.LINE);
        Files.writeString(folder.resolve("r.csv"), "time,cell_1_v\n2026-01-01T00:00:00Z,3.3\n");
        Program.Ended imported = Program.run(folder, "import", "r.csv");
        assertThat(imported.code()).isEqualTo(ExitCode.STORE);
        daemon.terminate();
      }
    }
  }

  @Test
  void oneMarkedEventGoesDownTheWholePathAndTheBrokersAnswerIsReported() throws Exception {
    List<String> received = Collections.synchronizedList(new ArrayList<>());
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(
                broker.url(), "cellherd/bench/crate/event", (t, p, r) -> received.add(p));
        Program board = board("first-night")) {
      config(OneBoard.link(board), broker.url().toString());

      Program.Ended alone = Program.run(folder, "alerts", "test");
      assertThat(alone.text()).contains("has acknowledged event").contains("no daemon is running");
      assertThat(alone.code()).isEqualTo(ExitCode.DONE);
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(() -> readings() > 0, "a reading");
        Program.Ended through = Program.run(folder, "alerts", "test");
        assertThat(through.text()).contains("sent by the running daemon");
        assertThat(through.code()).isEqualTo(ExitCode.DONE);
        daemon.terminate();
      }
      assertThat(received.stream().filter(p -> p.contains("\"rule\":\"test\""))).hasSize(2);
      assertThat(ear).isNotNull();
    }
  }

  @Test
  void runThatCannotOpenItsLogWatchesAndTakesItUpAsSoonAsItCan() throws Exception {
    Path inTheWay = Files.createDirectory(folder.resolve("log.db.lock"));
    try (Program board = board("first-night")) {
      config(OneBoard.link(board), "");
      try (Program daemon = Program.start(folder, "run")) {
        daemon.awaitText("Readings are not being stored: ");
        Files.delete(inTheWay);
        daemon.awaitText("starting anew");
        Program.until(() -> starts() == 2, "the second start in the log");
        long before = readings();
        Program.until(() -> readings() > before, "readings of the second start");
        assertThat(daemon.terminate()).isEqualTo(143);
      }
    }
    List<LogEntry> entries = entries();
    assertThat(entries.get(0)).isInstanceOf(SessionStart.class);
    assertThat(entries.get(1)).as("what waited in memory").isInstanceOf(Reading.class);
  }

  private long starts() {
    try {
      return entries().stream().filter(SessionStart.class::isInstance).count();
    } catch (StorageFailure notYet) {
      return 0;
    }
  }

  @Test
  void boardThatIsNotThereIsToldInOneLineWithTheLinksExitCode() throws Exception {
    config(folder.resolve("nowhere").toString(), "");

    Program.Ended ended = Program.run(folder, "read");

    assertThat(ended.code()).isEqualTo(ExitCode.LINK);
    assertThat(ended.text()).contains("nowhere").contains("not there");
  }

  @Test
  void wrongAddressAndWrongSpecAreTold() throws Exception {
    try (Program board = board("first-night")) {
      Program.Ended silent =
          Program.run(
              folder,
              "read",
              "--link",
              OneBoard.link(board),
              "--spec",
              "sorrel-16",
              "--address",
              "9");
      assertThat(silent.code()).isEqualTo(ExitCode.LINK);
      assertThat(silent.text()).contains("no answer; look at cable, address and baud rate, and");
    }
    Program.Ended unknown = Program.run(folder, "read", "--link", "tcp:h:1", "--spec", "sorel-16");
    assertThat(unknown.code()).isEqualTo(ExitCode.USAGE);
    assertThat(unknown.text()).contains("did you mean sorrel-16?");
  }
}
