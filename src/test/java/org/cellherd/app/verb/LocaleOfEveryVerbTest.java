package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.JavaCommand;
import org.cellherd.app.ExitCode;
import org.cellherd.json.JsonReader;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Every verb of the model that answers a question says the same wherever the computer stands: a
 * decimal comma (German, French), digits of another script (Arabic of Egypt, Hindi), an i without
 * its dot (Turkish).
 */
class LocaleOfEveryVerbTest {

  private static final Map<String, String> LINES =
      new TreeMap<>(
          Map.ofEntries(
              Map.entry("check", "--plan ${f}/night.toml"),
              Map.entry("simulate", "--list"),
              Map.entry("read", "--link tcp:127.0.0.1:1 --spec sorrel-16"),
              Map.entry("replay", "--config ${f}/line.toml ${f}/some.jsonl"),
              Map.entry("triage", "${f}/cells.csv"),
              Map.entry("match", "${f}/cells.csv --series 4 --parallel 2 --load 20 --bleed 50"),
              Map.entry("pile", "LOG --out ${f}/pile-N.csv"),
              Map.entry("setpoints", "--plan ${f}/night.toml"),
              Map.entry("import", "--db ${f}/new-N.db --plan ${f}/night.toml ${f}/rows.csv"),
              Map.entry("export", "LOG --from 2026-06-21 --every 1h"),
              Map.entry("backup", "LOG ${f}/copy-N.db"),
              Map.entry("redate", "LOG"),
              Map.entry("frames", "${f}/some.jsonl"),
              Map.entry("spec list", ""),
              Map.entry("spec show", "sorrel-16"),
              Map.entry("spec test", "sorrel-16"),
              Map.entry("note", "LOG"),
              Map.entry("meter", "LOG"),
              Map.entry("report", "LOG --format text"),
              Map.entry("label", "LOG"),
              Map.entry("alerts", "LOG"),
              Map.entry("alerts ack", "LOG none"),
              Map.entry("alerts test", "--config ${f}/line.toml"),
              Map.entry("capacity", "LOG"),
              Map.entry("compare", "crate=${f}/night.db --parts-price crate=90"),
              Map.entry("balance", "LOG"),
              Map.entry("resistance", "LOG"),
              Map.entry("rest", "LOG"),
              Map.entry("energy", "LOG"),
              Map.entry("ageing", "LOG"),
              Map.entry("fleet", "--store postgresql://u@127.0.0.1:1/x")));

  /** What passes on the line of the invented board in one poll. */
  private static final String[] TALK = {
    "6b310100ce",
    "6b31012e0404be04bf03b5fffe04e210033f033e0340033d033f033e033f0340033e033f03"
        + "3d033e033f03400390033214d821",
    "6b1c0100e3",
    "6b1c010d002900214840000369000155043e",
  };

  /** Those that answer nothing by themselves: they ask, watch, or go on until they are ended. */
  private static final List<String> NO_ANSWER =
      List.of("demo", "setup", "run", "capture", "gather");

  /** Those whose text is rows for another program. */
  private static final List<String> MACHINE_READ = List.of("export", "pile");

  @TempDir private static Path folder;

  private static int runs;

  /** What is said where no habit of a country changes it, by the line. */
  private static final Map<String, String> ELSEWHERE = new TreeMap<>();

  @BeforeAll
  static void aLogThatKnowsMuch() throws IOException {
    // Each verb reads all of it, some hundred times in all: no second is the point.
    Files.writeString(
        folder.resolve("tests.toml"),
        Scenarios.text("capacity-test").orElseThrow().replace("poll_s = 1\n", "poll_s = 10\n"));
    Said.whenDone(expanded("simulate", "${f}/tests.toml --log ${f}/night.db"));
    String plan = Files.readString(folder.resolve("night.toml"));
    Files.writeString(
        folder.resolve("line.toml"),
        plan
            + "[pack.line]\nspec = \"sorrel-16\"\nlink = \"tcp:127.0.0.1:1\"\n"
            + "[[alert.command]]\nrun = [\"/bin/true\"]\n");
    StringBuilder capture = new StringBuilder();
    for (int i = 0; i < 20; i++) {
      for (int part = 0; part < TALK.length; part++) {
        long atMs = 1_767_225_600_000L + i * 1000L + part * 100L;
        capture.append("{\"at_ms\":" + atMs + ",\"dir\":\"" + (part % 2 == 0 ? "tx" : "rx"));
        capture.append("\",\"hex\":\"" + TALK[part] + "\"}\n");
      }
    }
    Files.writeString(folder.resolve("some.jsonl"), capture);
    StringBuilder cells =
        new StringBuilder(
            "id,donor,chemistry,rated_ah,parallel,rest_1_v,res_1_mohm,cap_1_ah,damage\n");
    for (int i = 1; i <= 12; i++) {
      cells.append("a" + i + ",red,lfp,9,2,3.30" + i % 7 + ",3." + i + ",8." + i + ",\n");
    }
    Files.writeString(folder.resolve("cells.csv"), cells);
    Files.writeString(
        folder.resolve("rows.csv"),
        "time,cell_1_v,cell_2_v\n2026-01-01T00:00:00Z,3.3,3.31\n2026-01-01T00:00:09Z,3.3,3.31\n");
  }

  private static List<String> expanded(String verb, String line) {
    String whole =
        (verb + " " + line)
            .replace("LOG", "--db ${f}/night.db --plan ${f}/night.toml")
            .replace("-N.", "-" + runs++ + ".")
            .replace("${f}", folder.toString());
    return new ArrayList<>(List.of(whole.strip().split(" +")));
  }

  /** Numbers that differ by the clock become alike; points, commas and words stay. */
  private static String said(Locale locale, String verb, String line) {
    List<String> words = expanded(verb, line);
    Locale usual = Locale.getDefault();
    Locale.setDefault(locale);
    try {
      Said said = Said.by(words.toArray(new String[0]));
      return shape("exit code " + said.code() + "\n" + said.out() + said.err());
    } finally {
      Locale.setDefault(usual);
    }
  }

  private static String shape(String text) {
    return text.replaceAll("[0-9]+", "1");
  }

  @Test
  void everyVerbOfTheModelThatAnswersIsTried() {
    List<String> tried = new ArrayList<>(LINES.keySet());
    tried.addAll(NO_ANSWER);

    assertThat(EveryVerb.all().stream().map(EveryVerb::words))
        .containsExactlyInAnyOrderElementsOf(tried);
  }

  @ParameterizedTest
  @ValueSource(strings = {"de-DE", "fr-FR", "ar-EG", "hi-IN-u-nu-deva", "tr-TR"})
  void whatIsSaidIsTheSameEverywhere(String tag) {
    Locale there = Locale.forLanguageTag(tag);
    LINES.forEach(
        (verb, line) -> {
          assertThat(said(there, verb, line)).as(verb).isEqualTo(elsewhere(verb, line));
          String json = line + " --json";
          assertThat(said(there, verb, json)).as(verb).isEqualTo(elsewhere(verb, json));
        });
  }

  /** Files for a browser, a printer and a spreadsheet: each number in them, too. */
  @ParameterizedTest
  @ValueSource(strings = {"de-DE", "ar-EG", "hi-IN-u-nu-deva", "tr-TR"})
  void whatIsWrittenIsTheSameEverywhere(String tag) throws IOException {
    for (String line :
        List.of(
            "label LOG ${f}/made-N.svg",
            "report LOG ${f}/made-N.html",
            "report LOG --plot herd ${f}/made-N.svg",
            "setpoints LOG ${f}/made-N.html",
            "capacity LOG --plot ${f}/made-N.svg",
            "export LOG --from 2026-06-21 --every 10min --decimal-comma ${f}/made-N.csv",
            "match ${f}/cells.csv --series 4 --parallel 2 --plan-out ${f}/made-N.toml")) {
      assertThat(written(Locale.forLanguageTag(tag), line))
          .as(line)
          .isNotBlank()
          .isEqualTo(written(Locale.ROOT, line));
    }
  }

  private static String written(Locale locale, String line) throws IOException {
    List<String> words = expanded(line, "");
    Locale usual = Locale.getDefault();
    Locale.setDefault(locale);
    try {
      Said said = Said.by(words.toArray(new String[0]));
      assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    } finally {
      Locale.setDefault(usual);
    }
    // The time at which it was made stands in some.
    return Files.readString(Path.of(words.get(words.size() - 1)))
        .replaceAll("[0-9]+ \\p{L}+ 20[0-9][0-9](,)? [0-9]+:[0-9]+(:[0-9]+)?", "then");
  }

  /** A minus is the one of people, nothing is less than nothing, no address is spelt in zeros. */
  @Test
  void numbersAreSaidAsPeopleReadThem() {
    LINES.forEach(
        (verb, line) -> {
          if (!MACHINE_READ.contains(verb)) {
            assertThat(Said.by(expanded(verb, line).toArray(new String[0])).out())
                .as(verb)
                .doesNotContainPattern(
                    "(?m)(^|[ (])-[0-9][0-9.]* ?(to [0-9.]+ )?(°C|m?V|A|Ah|%|Wh)")
                .doesNotContainPattern("[-\u2212]0(\\.0+)?(?![0-9.])")
                .doesNotContain("0:0:0:0");
          }
        });
  }

  /** What is known is JSON as a whole, too, and nothing in it is an object that says nothing. */
  @Test
  void whatIsAnsweredAsJsonIsJson() throws JsonReader.Problem {
    JsonReader reader = new JsonReader(new JsonReader.Limits(1 << 22, 20, 4_000, 200_000));
    for (Map.Entry<String, String> line : LINES.entrySet()) {
      List<String> words = expanded(line.getKey(), line.getValue() + " --json");
      Said said = Said.by(words.toArray(new String[0]));
      if (said.code() == ExitCode.DONE) {
        assertThat(reader.read(said.out())).as(line.getKey()).isNotNull();
        assertThat(said.out()).as(line.getKey()).doesNotContainPattern("\\{\\s*}");
      } else {
        assertThat(said.out() + said.err()).as(line.getKey()).isNotBlank();
      }
    }
  }

  private static String elsewhere(String verb, String line) {
    return ELSEWHERE.computeIfAbsent(verb + " " + line, l -> said(Locale.ROOT, verb, line));
  }

  /** The program as it is started, with what its entry does; a service has no language at all. */
  @ParameterizedTest
  @ValueSource(strings = {"UTF-8", "US-ASCII", "ISO-8859-1"})
  void aProcessOnAGermanComputerSaysTheSame(String letters) throws Exception {
    Path out = folder.resolve("out.txt");
    List<String> options = new ArrayList<>(JavaCommand.SHORT);
    options.addAll(
        List.of("-Duser.language=de", "-Duser.country=DE", "-Dfile.encoding=" + letters));
    List<String> command = JavaCommand.of(options, "org.cellherd.app.verb.Main");
    command.addAll(expanded("capacity", "LOG"));

    Process process =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(out.toFile()).start();
    if (!process.waitFor(120, TimeUnit.SECONDS)) {
      process.destroyForcibly().waitFor();
    }

    assertThat(Files.readString(out, StandardCharsets.UTF_8))
        .isNotBlank()
        .isEqualTo(Said.whenDone(expanded("capacity", "LOG")));
  }
}
