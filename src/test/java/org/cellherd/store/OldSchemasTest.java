package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Channel;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.codec.WildReadings;
import org.cellherd.store.sql.Identity;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Schema;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Files of every schema that was ever released open with today's program. A file is made once, by
 * {@code -Dgolden.update=true} when its schema is the newest, and never changed again.
 */
class OldSchemasTest {

  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8})
  void aFileOfAnOldSchemaOpensAndHoldsWhatItHeld(int version) throws Exception {
    Path file = folder.resolve("old.db");
    try (InputStream old = resource(version)) {
      Files.copy(old, file);
    }

    String uuid;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      uuid = log.uuid();
      assertThat(uuid).matches("[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}");
      log.backup(folder.resolve("copy.db"));
      assertThat(log.salvage()).isEmpty();
      assertThat(log.end()).isEqualTo(SessionStart.Before.ENDED);
      assertThat(all(log, "a")).isEqualTo(entries());
      assertThat(log.alertLog().standing())
          .isEqualTo(AlertsTest.someEvents(1).stream().map(e -> e.alert()).toList());
      assertThat(log.alertLog().waiting(9)).isEqualTo(AlertsTest.someEvents(1));
      assertThat(log.history().findings("a", FindingName.REST, 0, Long.MAX_VALUE))
          .containsExactly(finding());
      assertThat(log.history().snapshot("a", "sum", Long.MAX_VALUE).orElseThrow().state())
          .isEqualTo(SavedState.of(io -> io.number(42)));
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE)).containsExactly(note(version));
      assertThat(log.redatings("b")).hasSize(version < 4 ? 0 : 1);
      assertThat(log.boards().of("a").orElse("")).isEqualTo(version < 2 ? "" : "serial 17");
      assertThat(log.writer().newAcknowledgements())
          .containsExactly(new Remarks.Acknowledgement("alert-0", "me", T0));
      assertThat(
              log.statistics().hourStatistics("a", Channel.cell(1), 0, Long.MAX_VALUE).stream()
                  .mapToLong(Statistics.Summary::count)
                  .sum())
          .isPositive();
    }
    assertThat(uuid).startsWith("%08x-".formatted(Identity.of(file)));
    for (String name : List.of("old.db", "copy.db")) {
      try (LogFile log = LogFile.open(folder.resolve(name), OpenMode.WRITER)) {
        assertThat(log.uuid()).isEqualTo(uuid);
      }
    }
  }

  @Test
  void theQueriesOfTheDocumentationGiveRows() throws Exception {
    Path file = folder.resolve("old.db");
    try (InputStream old = resource(Schema.VERSION)) {
      Files.copy(old, file);
    }
    String text =
        Files.readString(Path.of("src/main/java/org/cellherd/store/package-info.java"))
            .replaceAll("(?m)^ \\* ?", "");
    String queries = text.substring(text.indexOf("<pre>") + 5, text.indexOf("</pre>"));

    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      for (String query : queries.strip().split(";\\s*")) {
        try (ResultSet row = statement.executeQuery(query)) {
          assertThat(row.next()).as(query).isTrue();
        }
      }
    }
  }

  @Test
  void theNewestSchemaHasItsFile() throws IOException, StorageFailure {
    if (Boolean.getBoolean("golden.update")) {
      Path target =
          Path.of("src/test/resources/org/cellherd/store/schema_v" + Schema.VERSION + ".db");
      Files.createDirectories(target.getParent());
      Files.deleteIfExists(target);
      make(target);
      Files.delete(target.resolveSibling(target.getFileName() + ".lock"));
    }
    try (InputStream newest = resource(Schema.VERSION)) {
      assertThat(newest.read()).isEqualTo('S');
    }
  }

  private static InputStream resource(int version) throws IOException {
    InputStream file = OldSchemasTest.class.getResourceAsStream("schema_v" + version + ".db");
    if (file == null) {
      throw new IOException("no schema_v" + version + ".db among the test resources");
    }
    return file;
  }

  private static List<LogEntry> entries() {
    List<LogEntry> entries = new ArrayList<>();
    entries.add(new SessionStart(T0, 1, true, true));
    entries.addAll(new StorageDay(true, 1).readings(T0, 0, 200));
    entries.add(new Gap(T0 + 199_000, T0 + 300_000, Gap.Cause.NO_BYTES));
    entries.addAll(new WildReadings(1).rising(T0 + HOUR, 60));
    entries.add(new ClockStep(T0 + 5 * HOUR, T0 + 8 * HOUR));
    entries.addAll(new StorageDay(false, 1).readings(T0 + 8 * HOUR, 0, 100));
    return entries;
  }

  private static Finding finding() {
    Facts facts = Facts.of().put("hours", 7.5, 1).putTime("at", T0).putUnknown("leak_ma").build();
    return ResultForm.finding(FindingName.REST, T0, T0 + HOUR, facts, "A rest of 7.5 h.");
  }

  private static Note note(int version) {
    return new Note("a", T0, "me", version < 3 ? "first charge" : "second charge");
  }

  private static void make(Path file) throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", entries());
      log.writer().save("a", finding());
      log.writer().saveSnapshot("a", "sum", T0 + HOUR, SavedState.of(io -> io.number(42)));
      log.alertLog().commit(AlertsTest.someEvents(1));
      long note = log.remarks().add(note(1));
      log.remarks().change(new Note.Change(note, T0 + HOUR, "you", "second charge"));
      log.remarks().acknowledge("alert-0", "me", T0);
      append(log, "b", Logs.seconds(T0, 10));
      log.writer()
          .redate(
              new Redating(
                  "b", OptionalLong.empty(), T0, T0 + HOUR, first -> HOUR, "me", T0 + 9 * HOUR),
              false);
      log.boards().learn("a", "serial 17", T0);
    }
  }
}
