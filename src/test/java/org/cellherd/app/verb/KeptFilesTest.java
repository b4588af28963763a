package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
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
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Every verb that makes a file anew where one is, with the name of what its user cannot have again
 * in its place: a slip of the finger costs nothing.
 */
final class KeptFilesTest {

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
    for (String line : WritingVerbs.OF_A_LOG) {
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

  /** Of each kind that a verb makes: what another program, or a person, made of that kind. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "time,current_a,cell_1_v\n2026-01-01T00:00:00Z,1.000,3.3310\n",
        "\"time\",\"current_a\"\n2026-01-01T00:00:00Z,1.000\n",
        "time\n",
        "<!DOCTYPE html>\n<title>watched by cellherd</title>\n",
        "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n",
        "\u0089PNG\r\n\u001a\n",
        "%PDF-1.7\n%%EOF\n",
        "Seen by cellherd 1.2, and then by me.\n"
      })
  void aStrangersFileOfTheSameKindIsKept(String old) throws IOException {
    Path out = folder.resolve("strangers.csv");
    Files.writeString(out, old, StandardCharsets.ISO_8859_1);

    Said said = said(WritingVerbs.OF_A_LOG.get(0), out);

    assertThat(said.code()).isEqualTo(2);
    assertThat(said.err()).contains("strangers.csv: exists and is no earlier export");
    assertThat(Files.readString(out, StandardCharsets.ISO_8859_1)).isEqualTo(old);
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
    for (String line : WritingVerbs.OF_A_LOG) {
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
