package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A log asked with the plan of another pack: that nothing is found would pass for an answer. */
final class WrongPlanTest {

  private static final List<String> QUESTIONS =
      List.of(
          "balance",
          "capacity",
          "resistance",
          "rest",
          "energy",
          "ageing",
          "meter",
          "note",
          "pile --out ${f}/new.csv",
          "export ${f}/new.csv",
          "report ${f}/new.html",
          "label ${f}/new.pdf");

  @TempDir private Path folder;

  @Test
  void everyVerbSaysWhichPacksTheLogHolds() throws IOException {
    Said.whenDone(List.of("simulate", "two-packs", "--log", folder.resolve("log.db").toString()));
    String plan = Files.readString(folder.resolve("log.toml"));
    String held = plan.replaceAll("(?s).*?id = \"([^\"]*)\".*id = \"([^\"]*)\".*", "$1, $2");
    Files.writeString(
        folder.resolve("other.toml"),
        """
        [[pack]]
        id = "shed"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        cells = [["a"], ["b"], ["c"], ["d"]]
        """);

    for (String question : QUESTIONS) {
      String line = question + " --db ${f}/log.db --plan ${f}/other.toml";
      Said said = Said.by(line.replace("${f}", folder.toString()).split(" "));

      assertThat(said.code()).as(question + ": " + said.out()).isEqualTo(2);
      assertThat(said.err()).contains("log.db holds nothing of pack shed, but " + held + ": does");
      assertThat(said.out()).as(question).isEmpty();
    }
    assertThat(folder).isDirectoryNotContaining("glob:**new.*");
  }
}
