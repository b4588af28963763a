package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.app.ExitCode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the verb says of the board, which it knows from the log alone. */
class CheckVerbTest {

  private static final String UNKNOWN = "Not checked: whether the board agrees with the plan";

  @TempDir private Path folder;

  private Said check() {
    return Said.by("check", "--plan", file("plan.toml"), "--db", file("log.db"));
  }

  private String file(String name) {
    return folder.resolve(name).toString();
  }

  private void plan(int series) throws IOException {
    Files.writeString(
        folder.resolve("plan.toml"),
        "zone = \"UTC\"\n[[pack]]\nid = \"crate\"\nchemistry = \"lfp\"\nseries = "
            + series
            + "\nparallel = 1\nrated_ah = 27\n");
  }

  private void log(String rows) throws IOException {
    Files.writeString(folder.resolve("rows.csv"), "time,cell_1_v,cell_2_v\n" + rows);
    Said.whenDone(
        List.of("import", file("rows.csv"), "--plan", file("plan.toml"), "--db", file("log.db")));
  }

  @Test
  void aBoardOfWhichNothingIsKnownIsCalledNotChecked() throws IOException {
    plan(2);
    log("");

    Said said = check();

    assertThat(said.out()).contains(UNKNOWN);
    assertThat(said.code()).isZero();
  }

  @Test
  void aBoardThatContradictsThePlanFails() throws IOException {
    plan(2);
    log("2026-01-10T17:00:00Z,3.301,3.302\n");
    assertThat(check().out()).doesNotContain(UNKNOWN);

    plan(6);
    Said said = check();

    assertThat(said.code()).isEqualTo(ExitCode.NO);
    assertThat(said.out()).contains("The board reports 2 cells").doesNotContain(UNKNOWN);
  }
}
