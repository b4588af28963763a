package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.Runner;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CommandHookTest {

  @TempDir private Path folder;

  private static AlertEvent event(Priority priority, String text) {
    Alert alert =
        new Alert(
            "a",
            new AlertKey("crate", Runner.ID, 3),
            AlertState.ACTIVE,
            priority,
            0,
            0,
            3.47,
            3.45,
            "V",
            text,
            "",
            Facts.NONE,
            Optional.empty(),
            true);
    return new AlertEvent("e-" + text, AlertEvent.Change.RAISED, alert);
  }

  /** Events are worked off in order, so what the last one wrote comes after all before it. */
  @Test
  void onlyWhatIsCriticalRunsTheProgramAndTellsWhatHappened() throws Exception {
    Path told = folder.resolve("told");
    String script =
        "echo \"$CELLHERD_PACK $CELLHERD_RULE $CELLHERD_CELL $CELLHERD_CHANGE $CELLHERD_TEXT\" >> "
            + told;
    try (CommandHook hook = new CommandHook(List.of(List.of("/bin/sh", "-c", script)), List.of())) {
      hook.event(event(Priority.NOTE, "a note"));
      hook.event(event(Priority.WARNING, "a warning"));
      hook.event(event(Priority.CRITICAL, "first"));
      hook.event(event(Priority.CRITICAL, "$(touch here); last"));

      Await.until("both ran", () -> lines(told).size() == 2);
      assertThat(lines(told))
          .containsExactly(
              "crate runner 3 raised first", "crate runner 3 raised $(touch here); last");
    }
  }

  @Test
  void aProgramThatFailsDoesNotHinderTheNextEvent() {
    Path told = folder.resolve("told");
    List<String> missing = List.of(folder.resolve("nothing-here").toString());
    List<String> works = List.of("/bin/sh", "-c", "echo again >> " + told);
    try (CommandHook hook = new CommandHook(List.of(missing, works), List.of())) {
      hook.event(event(Priority.CRITICAL, "first"));

      Await.until("the other ran", () -> lines(told).size() == 1);
      assertThat(lines(told)).containsExactly("again");
    }
  }

  private static List<String> lines(Path file) {
    try {
      return Files.exists(file) ? Files.readAllLines(file) : List.of();
    } catch (IOException unread) {
      throw new UncheckedIOException(unread);
    }
  }
}
