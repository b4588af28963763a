package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.app.ExitCode;
import org.cellherd.json.JsonReader;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** {@code --json} of every verb of the command line's model: answered whole, or refused. */
final class JsonOfEveryVerbTest {

  private static final JsonReader JSON =
      new JsonReader(new JsonReader.Limits(1 << 20, 20, 4_000, 50_000));

  /** What each verb needs beside; a verb that is new to the model has to be added. */
  private static final Map<String, String> NEEDS =
      new TreeMap<>(
          Map.ofEntries(
              Map.entry("demo", ""),
              Map.entry("setup", "--link tcp:127.0.0.1:1 --out ${f}/new.toml"),
              Map.entry("run", "--config ${f}/absent.toml"),
              Map.entry("check", "--plan ${f}/plan.toml"),
              Map.entry("read", "--link tcp:127.0.0.1:1 --spec sorrel-16"),
              Map.entry("simulate", "--list"),
              Map.entry("capture", "--link tcp:127.0.0.1:1 --spec sorrel-16 ${f}/new.jsonl"),
              Map.entry("replay", "--config ${f}/line.toml ${f}/empty.jsonl"),
              Map.entry("triage", "${f}/cells.csv"),
              Map.entry("match", "${f}/cells.csv --series 2 --parallel 1"),
              Map.entry("pile", "LOG --out ${f}/pile.csv"),
              Map.entry("setpoints", "--plan ${f}/plan.toml"),
              Map.entry("import", "LOG ${f}/rows.csv"),
              Map.entry("export", "LOG"),
              Map.entry("backup", "LOG ${f}/copy.db"),
              Map.entry("redate", "LOG"),
              Map.entry("frames", "${f}/empty.jsonl"),
              Map.entry("spec list", ""),
              Map.entry("spec show", "sorrel-16"),
              Map.entry("spec test", "sorrel-16"),
              Map.entry("note", "LOG"),
              Map.entry("meter", "LOG"),
              Map.entry("report", "LOG --format text"),
              Map.entry("label", "LOG"),
              Map.entry("alerts", "LOG"),
              Map.entry("alerts ack", "LOG none"),
              Map.entry("alerts test", "--config ${f}/buzzer.toml"),
              Map.entry("capacity", "LOG"),
              Map.entry("compare", "${f}/tester.csv"),
              Map.entry("balance", "LOG"),
              Map.entry("resistance", "LOG"),
              Map.entry("rest", "LOG"),
              Map.entry("energy", "LOG"),
              Map.entry("ageing", "LOG"),
              Map.entry("fleet", "--store postgresql://u@127.0.0.1:1/x"),
              Map.entry(
                  "gather", "--store postgresql://u@127.0.0.1:1/x --broker mqtt://127.0.0.1:1")));

  @TempDir private static Path folder;

  @BeforeAll
  static void aLogThatKnowsNothingYet() throws IOException {
    String pack =
        """
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        """;
    Files.writeString(folder.resolve("plan.toml"), pack);
    Files.writeString(
        folder.resolve("line.toml"),
        "[mqtt]\nurl = \"mqtt://127.0.0.1:1\"\n"
            + pack
            + "[pack.line]\nspec = \"sorrel-16\"\nlink = \"tcp:127.0.0.1:1\"\n");
    Files.writeString(
        folder.resolve("buzzer.toml"),
        "[[alert.command]]\nrun = [\"/bin/true\"]\n"
            + pack
            + "[pack.line]\nspec = \"sorrel-16\"\nlink = \"tcp:127.0.0.1:1\"\n");
    Files.writeString(folder.resolve("empty.jsonl"), "");
    String header = "id,donor,chemistry,rated_ah,parallel,rest_1_v,res_1_mohm,cap_1_ah,damage\n";
    StringBuilder cells = new StringBuilder(header);
    for (int i = 1; i <= 8; i++) {
      cells.append("a" + i + ",red,lfp,9,2,3.30,3." + i + ",8." + i + ",\n");
    }
    Files.writeString(folder.resolve("cells.csv"), cells);
    Files.writeString(folder.resolve("rows.csv"), "time,cell_1_v\n2026-01-01T00:00:00Z,3.3\n");
    Files.writeString(
        folder.resolve("tester.csv"),
        "time,pack_v,current_a\n0,3.3,-1\n3600,3.2,-1\n7200,2.5,-1\n");
    Said.whenDone(expanded("import", "LOG ${f}/rows.csv"));
  }

  private static List<String> expanded(String verb, String needs) {
    String rest = needs.replace("LOG", "--db ${f}/log.db --plan ${f}/plan.toml");
    List<String> words = new ArrayList<>(List.of(verb.split(" ")));
    List.of(rest.replace("${f}", folder.toString()).split(" ")).stream()
        .filter(word -> !word.isEmpty())
        .forEach(words::add);
    return words;
  }

  static List<String> verbs() {
    return EveryVerb.all().stream().map(EveryVerb::words).toList();
  }

  @Test
  void everyVerbOfTheModelIsTried() {
    assertThat(NEEDS.keySet()).containsExactlyInAnyOrderElementsOf(verbs());
  }

  @ParameterizedTest
  @MethodSource("verbs")
  void jsonIsAnsweredOrRefused(String verb) throws JsonReader.Problem {
    List<String> words = expanded(verb, NEEDS.getOrDefault(verb, ""));
    words.add("--json");
    Said said = Said.by(words.toArray(new String[0]));

    boolean isRefused = said.code() == ExitCode.USAGE && said.err().contains("--json");
    if (said.code() == ExitCode.DONE) {
      assertThat(said.out()).as(verb).isNotBlank().doesNotContainPattern("\\{\\s*}");
    }
    assertThat(isRefused || said.out().isEmpty() || isJson(said.out()))
        .as("%s: %s %s", words, said.out(), said.err())
        .isTrue();
    if (!isRefused) {
      assertThat(said.code()).as("%s: %s", words, said.err()).isNotEqualTo(ExitCode.USAGE);
    }
  }

  private static boolean isJson(String text) {
    try {
      return JSON.read(text) != null;
    } catch (JsonReader.Problem none) {
      return false;
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"resistance", "ageing"})
  void nothingKnownIsANullWithItsReason(String verb) {
    List<String> words = expanded(verb, "LOG");
    words.add("--json");

    assertThat(Said.whenDone(words)).contains("\"" + verb + "\": null").contains("\"reason\": \"");
  }
}
