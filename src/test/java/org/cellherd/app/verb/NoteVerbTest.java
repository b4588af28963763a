package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Notes go in with the time that they are about, and come out in its order. */
class NoteVerbTest {

  private static final long SEED = Long.getLong("note.seed", 13);

  private static final String GONE = "(withdrawn)";

  @TempDir private Path folder;

  @BeforeEach
  void writePlanAndLog() throws IOException, StorageFailure {
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
    LogFile.open(folder.resolve("log.db"), OpenMode.WRITER).close();
  }

  private String note(String... more) {
    List<String> words = new ArrayList<>(List.of("note"));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(Arrays.asList(more));
    Said said = Said.by(words.toArray(new String[0]));
    return said.err() + said.out();
  }

  @Test
  void aNoteAboutYesterdayStandsAtYesterday() {
    note("--by", "Anna", "--at", "2026-03-02T10:20", "Charger turned down");
    note("--by", "Ben", "--at", "1 Mar 2026 09:00:00", "Cell 5 replaced");

    assertThat(note())
        .isEqualTo(
            """
            2  1 Mar 2026 09:00:00  Ben: Cell 5 replaced
            1  2 Mar 2026 10:20:00  Anna: Charger turned down
            """);
    assertThat(note("--to", "2026-03-02", "--json")).contains("2026-03-01T00:00:00Z", "\"Ben\"");
  }

  @Test
  void thatThereIsNoneIsSaid() {
    assertThat(note()).isEqualTo("No note in this time.\n");
  }

  /** Notes written, corrected and withdrawn in any order, and what people asked for that fails. */
  @Test
  void whatIsListedIsWhatWasSaidLastAndNothingIsForgotten() throws Exception {
    Random random = new Random(SEED);
    List<List<String>> said = new ArrayList<>();
    for (int step = 0; step < 40; step++) {
      String text = "text of step " + step;
      int number = 1 + random.nextInt(said.size() + 2);
      List<String> past = number > said.size() ? List.of() : said.get(number - 1);
      boolean mayChange = !past.isEmpty() && !past.get(past.size() - 1).equals(GONE);
      switch (random.nextInt(3)) {
        case 0 -> {
          said.add(new ArrayList<>(List.of(text)));
          assertThat(note("--at", "2026-03-01", text))
              .isEqualTo("Note " + said.size() + " written.\n");
        }
        case 1 -> changed(note("--correct", "" + number, text), mayChange, past, text);
        default -> changed(note("--withdraw", "" + number), mayChange, past, GONE);
      }
    }

    assertThat(note("--json").lines().filter(l -> l.contains("\"text\"")).map(String::strip))
        .as("seed %d", SEED)
        .isEqualTo(said.stream().map(NoteVerbTest::asJson).toList());
    String all = note();
    assertThat(said.stream().flatMap(List::stream).filter(t -> !t.equals(GONE)))
        .allMatch(all::contains);
    assertThat(ofReports())
        .containsExactlyElementsOf(
            said.stream().map(p -> p.get(p.size() - 1)).filter(t -> !t.equals(GONE)).toList());
  }

  private static void changed(String answer, boolean may, List<String> past, String text) {
    if (may) {
      assertThat(answer).matches("Note \\d+ (corrected|withdrawn)\\.\n");
      past.add(text);
    } else {
      assertThat(answer).containsAnyOf("has no note", "was withdrawn already");
    }
  }

  private static String asJson(List<String> past) {
    String last = past.get(past.size() - 1);
    return "\"text\": " + (last.equals(GONE) ? "null" : "\"" + last + "\"") + ",";
  }

  private List<String> ofReports() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      return log.remarks().notes("crate", 0, Long.MAX_VALUE).stream().map(Note::text).toList();
    }
  }

  @Test
  void aCorrectionIsListedWithWhatItCorrected() {
    note("--by", "Ben", "--at", "1 Mar 2026 09:00:00", "Cell 5 replaced");
    note("--by", "Anna", "--correct", "1", "Cell 6 replaced");
    note("--by", "Ben", "--withdraw", "1");

    assertThat(note().replaceAll("\\d+ \\w+ 20\\d\\d [0-9:]{8} by", "NOW by"))
        .isEqualTo(
            """
            1  1 Mar 2026 09:00:00  Ben: (withdrawn)
               corrected NOW by Anna; before: Cell 5 replaced
               withdrawn NOW by Ben; before: Cell 6 replaced
            """);
  }

  /** A terminal obeys an escape character, wherever the text came from. */
  @Test
  void noTextOfANoteIsObeyedByATerminal() throws Exception {
    String hostile = "\u001b[2J\u009b31m\u202edrac\u0007";
    note("--by", "An" + hostile, "--at", "2026-03-01", "first" + hostile + "\nsecond\tline");
    note("--by", "Ben" + hostile, "--correct", "1", "third" + hostile);
    try (Connection old = DriverManager.getConnection("jdbc:sqlite:" + folder.resolve("log.db"));
        PreparedStatement put =
            old.prepareStatement(
                "INSERT INTO note(id, pack, at_ms, by, text) VALUES (7,?,0,?,?)")) {
      put.setString(1, "crate");
      put.setString(2, "Old" + hostile);
      put.setString(3, "from before" + hostile);
      put.execute();
    }

    assertThat(note() + note("--json") + ofReports())
        .contains("An ", "first ", " / second line", "Ben ", "third ", "Old ", "from before ")
        .doesNotContainPattern("[\\p{Cc}\u202e&&[^\n]]")
        .doesNotContain("u001b", "u009b");
  }

  @Test
  void aNoteHasANameAndIsNotAboutTheFuture() {
    assertThat(note("--by", "", "text")).contains("--by", "empty").doesNotContain("written");
    assertThat(note("--by", " \u001b ", "text")).contains("empty").doesNotContain("written");
    assertThat(note("--at", "2099-01-01", "text")).contains("the future");
    assertThat(note()).isEqualTo("No note in this time.\n");
  }

  @Test
  void whatContradictsItselfIsRefused() {
    note("--at", "2026-03-01", "kept");
    for (String line :
        List.of(
            "--correct 1",
            "--withdraw 1 x",
            "--correct 1 --withdraw 1",
            "--at 1h --withdraw 1",
            "--withdraw x",
            "--correct 9 x")) {
      assertThat(note(line.split(" "))).as(line).doesNotContain("Note 1").isNotBlank();
    }
    assertThat(note()).contains("1  1 Mar 2026 00:00:00").contains(": kept").hasLineCount(1);
  }
}
