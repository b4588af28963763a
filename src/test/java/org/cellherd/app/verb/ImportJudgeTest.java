package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.rule.Runner;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Alerts of imported readings: none unless asked for, and then those that the rules give. */
class ImportJudgeTest {
  private static final Scenario RUNAWAY = Scenarios.open("runaway");

  @TempDir private Path folder;

  @BeforeEach
  void writePlanAndReadings() throws IOException {
    Files.writeString(
        folder.resolve("plan.toml"),
        """
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        charge_mv = 14600
        """);
    Files.write(
        folder.resolve("rows.csv"),
        ScenarioCsv.lines(RUNAWAY, 4, ",temp_1_c,charge_switch,discharge_switch"));
  }

  private String run(String verb, String... more) {
    List<String> words = new ArrayList<>(List.of(verb));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of(more));
    return Said.whenDone(words);
  }

  private String importRows(String... options) {
    List<String> words = new ArrayList<>(List.of(options));
    words.add(folder.resolve("rows.csv").toString());
    return run("import", words.toArray(new String[0]));
  }

  private List<StoredEvent> events() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      return log.events(Long.MIN_VALUE, Long.MAX_VALUE);
    }
  }

  @Test
  void anImportJudgesNothingUnlessAsked() throws StorageFailure {
    assertThat(importRows()).contains("No alerts were judged");

    assertThat(events()).isEmpty();
  }

  @Test
  void judgedAlertsAreListedWithTheTimesOfTheRowsAndNeverWaitForABroker() throws StorageFailure {
    assertThat(importRows("--judge")).contains("of them critical");

    assertThat(events())
        .anyMatch(e -> e.event().alert().key().rule().equals(Runner.ID))
        .allMatch(e -> e.event().alert().timeMs() >= RUNAWAY.startMs())
        .allMatch(e -> e.event().alert().timeMs() <= RUNAWAY.endMs());
    assertThat(run("alerts", "--all")).contains("runs ahead at the top of the charge");
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      assertThat(log.alertLog().waiting(10)).isEmpty();
    }
  }

  @Test
  void judgingOnceMoreGivesTheSameAlertsOnce() throws StorageFailure {
    importRows("--judge");
    List<StoredEvent> first = events();

    importRows("--judge");

    assertThat(events()).isEqualTo(first).isNotEmpty();
  }

  @Test
  void readingsThatWereImportedEarlierCanBeJudgedLater() throws StorageFailure {
    importRows();

    assertThat(importRows("--judge")).contains("0 readings stored");

    assertThat(events()).isNotEmpty();
  }

  @Test
  void whereNoAlertWasJudgedNoneIsNoVerdict() throws StorageFailure {
    String[] asked = {
      "alerts", "--db", "" + folder.resolve("log.db"), "--plan", "" + folder.resolve("plan.toml")
    };
    importRows();
    assertThat(Said.by(asked).out()).contains("No active alert.");
    assertThat(Said.by(asked).err()).contains("\"cellherd import --judge\" alone");

    importRows("--judge");
    assertThat(Said.by(asked).err()).isEmpty();
  }

  /** What a run watched itself, it also raised itself. */
  @Test
  void judgedAlertsEndWhereARunBeganToWatch() throws StorageFailure {
    long start = RUNAWAY.endMs() + 60_000;
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.writer().append("crate", new SessionStart(start, 1, true, true));
      for (int i = 0; i < 10; i++) {
        log.writer().append("crate", RUNAWAY.rig().measured().atTime(start + 1000L * (i + 1)));
      }
      log.writer().commit();
    }

    importRows("--judge");

    assertThat(events().stream().map(StoredEvent::event))
        .anyMatch(e -> e.change() == Change.RAISED)
        .allMatch(e -> e.alert().id().contains(AlertEvent.JUDGED_MARK));
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      assertThat(log.alertLog().standing()).isEmpty();
    }
  }
}
