package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Runner;
import org.cellherd.app.SystemTime;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Which alerts the verb lists. */
class AlertsVerbTest {
  private static final long T0 = 1_772_557_200_000L;

  @TempDir private Path folder;

  @BeforeEach
  void writeALogWithAlerts() throws IOException, StorageFailure {
    Files.writeString(
        folder.resolve("plan.toml"),
        """
        zone = "Asia/Tokyo"
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        """);
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog()
          .commit(
              List.of(
                  raised(CellHigh.ID, 3, Priority.CRITICAL),
                  raised(Runner.ID, 2, Priority.WARNING),
                  raised(Rules.id("never-full"), 0, Priority.NOTE)));
    }
  }

  private static AlertEvent raised(RuleId rule, int cell, Priority priority) {
    return raised("crate", rule, cell, priority);
  }

  private static AlertEvent raised(String pack, RuleId rule, int cell, Priority priority) {
    Alert alert = alert(pack, rule, cell, priority, AlertState.ACTIVE, Optional.empty());
    return new AlertEvent(alert.id() + ":raised", AlertEvent.Change.RAISED, alert);
  }

  private static Alert alert(
      String pack,
      RuleId rule,
      int cell,
      Priority priority,
      AlertState state,
      Optional<String> seenBy) {
    return new Alert(
        rule.word() + "-1",
        new AlertKey(pack, rule, cell),
        state,
        priority,
        T0,
        T0,
        1,
        2,
        "mV",
        "Told by " + rule.word(),
        "Look.",
        Facts.NONE,
        seenBy,
        true);
  }

  private String alerts(String... more) {
    List<String> words = new ArrayList<>(List.of("alerts"));
    words.addAll(Arrays.asList(more));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    Said said = Said.by(words.toArray(new String[0]));
    return said.err() + said.out();
  }

  @Test
  void alertsOfALogThatNobodyWritesSaySinceWhenNothingConfirmsThem() {
    assertThat(alerts())
        .contains("Told by cell-high Not confirmed since 4 Mar 2026 02:00.")
        .contains("Told by never-full Not confirmed since 4 Mar 2026 02:00.");
    assertThat(alerts("--json"))
        .contains("Told by cell-high Not confirmed since 4 Mar 2026 02:00.");
  }

  /** The log keeps the sentences of a plan in Tokyo, but not the plan. */
  @ParameterizedTest
  @ValueSource(strings = {"--all", ""})
  void withoutThePlanTimesAreByTheClockOfTheSentences(String all) throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      AlertEvent event = raised(Rules.id("spread"), 0, Priority.WARNING);
      Alert said = event.alert().saying("The cells are 80 mV apart, since 02:00.");
      log.alertLog().commit(List.of(new AlertEvent("spread-1:raised", event.change(), said)));
    }

    List<String> words = new ArrayList<>(List.of("alerts", "--rule", "spread"));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(all.isEmpty() ? List.of() : List.of(all));
    assertThat(Said.whenDone(words))
        .contains("4 Mar 2026 02:00:00")
        .contains("Times are in UTC+09:00.");
  }

  /** A running program rewrites texts once a minute only; the log knows of the silence before. */
  @Test
  void whileTheBoardIsSilentOnlyTheSilenceIsConfirmed() throws StorageFailure {
    long now = new SystemTime().wallMs();
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog().commit(List.of(raised(Rules.id("silent"), 0, Priority.WARNING)));
      log.writer().append("crate", new SessionStart(now - 60_000, 1, true, true));
      log.writer().append("crate", reading(now - 40_000));
      log.writer().append("crate", new Gap(now - 40_000, now - 5_000, Gap.Cause.NO_BYTES));
      log.writer().commit();

      assertThat(alerts())
          .contains("Told by cell-high Not confirmed since")
          .contains("Told by silent\n");

      log.writer().append("crate", reading(now - 4_000));
      log.writer().commit();

      assertThat(alerts()).contains("Told by cell-high\n", "Told by silent\n");
    }
  }

  private static Reading reading(long timeMs) {
    return Reading.at(timeMs).cells(CellVoltages.ofMv(3300, 3300, 3600, 3300)).build();
  }

  @Test
  void everyAlertThatStandsIsListedWithoutAWordMore() {
    assertThat(alerts()).contains("cell-high", "runner", "never-full");
  }

  /** The log holds first what is over, then the mildest. */
  @Test
  void whatIsActiveIsListedBeforeWhatIsOverAndTheCriticalFirst() throws StorageFailure {
    Alert a = raised(CellHigh.ID, 1, Priority.CRITICAL).alert();
    Alert over =
        new Alert(
            "a-over",
            a.key(),
            AlertState.RETURNED,
            Priority.CRITICAL,
            T0 - 1,
            T0,
            1,
            2,
            "mV",
            "Told as over",
            "",
            Facts.NONE,
            Optional.empty(),
            true);
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog()
          .commit(List.of(new AlertEvent("a-over:returned", AlertEvent.Change.RETURNED, over)));
    }

    assertThat(alerts())
        .containsSubsequence(
            "Told by cell-high", "Told by runner", "Told by never-full", "Told as over");
    assertThat(alerts("--json"))
        .containsSubsequence(
            "Told by cell-high", "Told by runner", "Told by never-full", "Told as over");
    assertThat(alerts("--all")).contains("over, not acknowledged  Told as over");
    assertThat(alerts())
        .as("its text names the clock alone, and may be weeks old")
        .contains("    over, began 4 Mar 2026 01:59:59; cellherd alerts ack a-over\n");
  }

  @Test
  void priorityAsksForAllThatAreSoBadOrWorse() {
    assertThat(alerts("--priority", "warning"))
        .contains("Told by cell-high", "Told by runner")
        .doesNotContain("never-full");
  }

  @Test
  void ruleAndCellAskForTheirOwnAlsoAmongPastEvents() {
    assertThat(alerts("--rule", "runner")).contains("Told by runner").doesNotContain("cell-high");
    assertThat(alerts("--cell", "3", "--all"))
        .contains("raised  Told by cell-high")
        .doesNotContain("runner");
    assertThat(alerts("--cell", "1")).contains("No active alert.");
  }

  /** Goes on until it is interrupted, as by Ctrl-C. */
  @Test
  void followingPrintsWhatComesOnceAndAsItComes() throws Exception {
    StringWriter said = new StringWriter();
    PrintWriter out = new PrintWriter(said, true);
    List<String> words =
        List.of(
            "alerts",
            "--follow",
            "--from",
            "2026-01-01",
            "--db",
            folder.resolve("log.db").toString(),
            "--plan",
            folder.resolve("plan.toml").toString());
    Thread follower =
        new Thread(
            () ->
                RootCommand.commandLine()
                    .setOut(out)
                    .setErr(out)
                    .execute(words.toArray(new String[0])));
    follower.start();
    Await.until("what was told before", () -> said.toString().contains("Told by never-full"));
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog().commit(List.of(raised(Rules.id("silent"), 0, Priority.WARNING)));
    }

    Await.until("what came", () -> said.toString().contains("Told by silent"));
    follower.interrupt();
    follower.join(20_000);
    assertThat(follower.isAlive()).isFalse();
    assertThat(said.toString().lines().filter(line -> line.contains("Told by runner"))).hasSize(1);
  }

  @Test
  void anotherPacksAlertsAreNotListedForTheNamedOne() {
    assertThat(alerts("--pack", "shed")).contains("No active alert.");
  }

  @Test
  void aWordThatIsNoneIsRefusedWithThoseThatAre() {
    assertThat(alerts("--rule", "celhigh")).contains("--rule \"celhigh\", allowed: ", "cell-high");
    assertThat(alerts("--priority", "bad")).contains("allowed: critical, warning, note");
  }

  @Test
  void eventsAreOfEveryPackAndInLocalTime() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog().commit(List.of(raised("shed", Rules.id("silent"), 0, Priority.WARNING)));
    }

    assertThat(alerts("--all", "--rule", "silent"))
        .contains("4 Mar 2026 02:00:00  shed  warning  silent  raised");
    assertThat(alerts("--all", "--pack", "crate")).doesNotContain("shed").contains("cell-high");
  }

  @Test
  void whoHasSeenAnAlertIsSaidBeforeADaemonTakesItUp() {
    assertThat(alerts("ack", "cell-high-1", "--by", "Anna")).startsWith("Noted: Anna has seen it.");

    assertThat(alerts("--rule", "cell-high"))
        .contains("critical  crate  cell-high cell 3", "seen by Anna (the daemon will take it up)");
    assertThat(alerts("--rule", "runner"))
        .doesNotContain("seen by")
        .contains("alerts ack runner-1");
  }

  /** What is kept is since when the cause is there, not since when it is seen or eases. */
  @Test
  void anAlertThatWasSeenOrEasesIsDatedFromItsBeginning() throws StorageFailure {
    Alert seen =
        alert(
            "crate", Runner.ID, 2, Priority.WARNING, AlertState.ACKNOWLEDGED, Optional.of("Anna"));
    Alert eases =
        alert("crate", CellHigh.ID, 3, Priority.CRITICAL, AlertState.CLEARING, Optional.empty());
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.alertLog()
          .commit(
              List.of(
                  new AlertEvent("a", AlertEvent.Change.ACKNOWLEDGED, seen),
                  new AlertEvent("b", AlertEvent.Change.RAISED, eases)));
    }

    assertThat(alerts())
        .contains("    active since 4 Mar 2026 02:00:00, seen by Anna\n")
        .contains("active since 4 Mar 2026 02:00:00; cellherd alerts ack cell-high-1")
        .doesNotContain("acknowledged since", "clearing since", "alerts ack runner-1");
  }

  @Test
  void theLogMayBeNamedBeforeTheSubVerbToo() {
    StringWriter said = new StringWriter();
    PrintWriter out = new PrintWriter(said, true);

    int code =
        RootCommand.commandLine()
            .setOut(out)
            .setErr(out)
            .execute(
                "alerts",
                "--db",
                folder.resolve("log.db").toString(),
                "--plan",
                folder.resolve("plan.toml").toString(),
                "ack",
                "runner-1");

    assertThat(code).as(said.toString()).isZero();
    assertThat(alerts("--rule", "runner")).contains("seen by");
  }

  @Test
  void aStretchThatEndsBeforeItBeginsIsRefused() {
    assertThat(alerts("--from", "2026-02-01", "--to", "2026-01-01"))
        .startsWith("--from must be before --to");
  }
}
