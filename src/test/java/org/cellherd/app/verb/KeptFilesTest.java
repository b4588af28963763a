package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every verb that makes a file anew where one is, with the name of what its user cannot have again
 * in its place: a slip of the finger costs nothing.
 */
final class KeptFilesTest {

  private static final String LOG = "--db ${f}/night.db --plan ${f}/night.toml ";

  /**
   * As {@link FullDiskVerbsTest} lists them; those that a centre answers write by the same class.
   */
  private static final List<String> OVERWRITES =
      List.of(
          "export " + LOG + "OUT.csv",
          "export " + LOG + "--decimal-comma OUT.csv",
          "report " + LOG + "OUT.html",
          "report " + LOG + "OUT.txt",
          "report " + LOG + "OUT.svg",
          "report " + LOG + "OUT.png",
          "label " + LOG + "OUT.pdf",
          "label " + LOG + "OUT.svg",
          "setpoints " + LOG + "OUT.pdf",
          "setpoints " + LOG + "OUT.html",
          "capacity " + LOG + "--plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --html OUT.html",
          "match ${f}/cells.csv --series 2 --parallel 1 --doubtful --picture OUT.svg");

  @TempDir private static Path folder;

  @BeforeAll
  static void aNight() throws IOException {
    Said.whenDone(
        List.of("simulate", "capacity-test", "--log", folder.resolve("night.db").toString()));
    Files.writeString(
        folder.resolve("cells.csv"),
        "id,chemistry,rated_ah,cap_1_ah\na1,lfp,9,8.1\na2,lfp,9,8.2\na3,lfp,9,8.3\na4,lfp,9,8.4\n");
    Files.writeString(
        folder.resolve("talk.jsonl"), "{\"at_ms\":1,\"dir\":\"rx\",\"hex\":\"01\"}\n");
    Files.writeString(folder.resolve("diary.txt"), "Monday: the crate hums.\n");
  }

  @Test
  void whatIsNoFileOfTheVerbsKindIsKept() throws IOException {
    List<String> all = List.of("night.db", "night.toml", "cells.csv", "talk.jsonl", "diary.txt");
    int number = 0;
    for (String line : OVERWRITES) {
      // Each verb beside one of them, the first beside all: a run of a report takes its time.
      String one = all.get(number % all.size());
      for (String precious : number == 0 ? all : List.of(one)) {
        Path out = folder.resolve("kept" + number++ + line.replaceAll(".*OUT(\\.\\w+).*", "$1"));
        byte[] old = Files.readAllBytes(folder.resolve(precious));
        Files.write(out, old);

        Said said = said(line, out);

        assertThat(said.code()).as("%s over %s", line, precious).isEqualTo(2);
        assertThat(said.err()).contains(out.getFileName() + ": ", "is kept; name another file");
        assertThat(Files.readAllBytes(out)).as("%s over %s", line, precious).isEqualTo(old);
      }
    }
  }

  @Test
  void theLogItselfIsNoPlaceForItsExport() throws IOException {
    Path log = folder.resolve("own.db");
    Said.whenDone(List.of("simulate", "first-night", "--log", log.toString()));
    byte[] old = Files.readAllBytes(log);

    Said said =
        Said.by("export", "--db", log.toString(), "--plan", folder + "/own.toml", log.toString());

    assertThat(said.code()).isEqualTo(2);
    assertThat(said.err()).contains("own.db: exists and is no earlier export").contains("is kept");
    assertThat(Files.readAllBytes(log)).isEqualTo(old);
  }

  @Test
  void whatAVerbMadeItMakesAnewAndAnEmptyFileIsNobodys() throws IOException {
    Map<String, Path> made = new LinkedHashMap<>();
    Set<String> kinds = new HashSet<>();
    for (String line : OVERWRITES) {
      String end = line.replaceAll(".*OUT(\\.\\w+).*", "$1");
      if (kinds.add(end)) {
        Path out = folder.resolve("made" + made.size() + end);
        Files.createFile(out);
        made.put(line, out);
      }
    }

    for (int time = 0; time < 2; time++) {
      made.forEach(
          (line, out) -> {
            Said said = said(line, out);
            assertThat(said.code()).as("%s: %s", line, said.err()).isZero();
            assertThat(out).isNotEmptyFile();
          });
    }
  }

  private static Said said(String line, Path out) {
    String whole = line.replaceAll("OUT\\.\\w+", out.toString()).replace("${f}", folder + "");
    return Said.by(whole.split(" "));
  }
}
