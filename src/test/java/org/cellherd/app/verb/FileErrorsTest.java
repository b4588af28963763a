package org.cellherd.app.verb;

import static java.util.Locale.ROOT;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.cellherd.json.JsonValue;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;

/**
 * Every verb, every argument of it that names a file, each in every way in which a file can be
 * wrong: the message names the file and the cause, and the exit code is that of a wrong file.
 */
final class FileErrorsTest {

  private static final String LOG = "--db {log} --plan {plan} ";
  private static final String CENTRE =
      "--store postgresql://u@127.0.0.1:1/x --store-password-file {secret} --store-ca-file {ca} ";
  private static final String CONFIGURED = " --config {config}";

  /** Of an authority that nobody trusts. */
  private static final String CERTIFICATE =
      """
      -----BEGIN CERTIFICATE-----
      MIIBfjCCASOgAwIBAgIUfh+5VGvusaYTU2geU/8EMA6F7dkwCgYIKoZIzj0EAwIw
      EzERMA8GA1UEAwwIaW52ZW50ZWQwIBcNMjYxMTI4MTQzMTU3WhgPMjEyNjExMDQx
      NDMxNTdaMBMxETAPBgNVBAMMCGludmVudGVkMFkwEwYHKoZIzj0CAQYIKoZIzj0D
      AQcDQgAEeBERojVsgGCtGFcAzuv6Dz+K1iLpQ+QKo7q2aThjW8kd5ts9lBYLvr8w
      8xU0OT8FihWsVQslQ4mB8h0lW+WBWqNTMFEwHQYDVR0OBBYEFKEZcP6hXIVZinke
      RSb/eZyUvPEtMB8GA1UdIwQYMBaAFKEZcP6hXIVZinkeRSb/eZyUvPEtMA8GA1Ud
      EwEB/wQFMAMBAf8wCgYIKoZIzj0EAwIDSQAwRgIhAK5L/pOnQ8ZmFK1wXo5QsotX
      jMzZuywvLVAUAlfFjvJUAiEAyB7NA7MBANOkKw5izkhiH1OgqYfspvsveY+yCFpv
      nbQ=
      -----END CERTIFICATE-----
      """;

  /** Command lines with a mark for each file; what a mark stands for is a file that is right. */
  private static final Map<String, List<String>> LINES =
      new TreeMap<>(
          Map.ofEntries(
              Map.entry("demo", List.of("--folder {out}")),
              Map.entry("setup", List.of("--link {link} --out {out}")),
              Map.entry("run", List.of("--config {config} --capture {out}")),
              Map.entry("check", List.of(LOG, "--plan {plan}", "--config {config}")),
              Map.entry("read", List.of("--config {config}", "--link {link} --spec {spec}")),
              Map.entry(
                  "simulate",
                  List.of("--tcp 0 --record {rows} --spec {spec}", "first-night --log {out}")),
              Map.entry("capture", List.of("--link {link} --spec {spec} --seconds 1 {out}")),
              Map.entry("replay", List.of("--config {config} {capture}")),
              Map.entry("import", List.of(LOG + "{rows}", "{rows}" + CONFIGURED)),
              Map.entry("triage", List.of("{cells}")),
              Map.entry(
                  "match",
                  List.of("{cells} --series 2 --parallel 1 --plan-out {out} --picture {out}.svg")),
              Map.entry("pile", List.of(LOG + "{cells} --out {out}", CONFIGURED + " --out {out}")),
              Map.entry("setpoints", List.of(LOG + "{out}.pdf", "{out}.html" + CONFIGURED)),
              Map.entry("export", List.of(LOG + "{out}", "{out}" + CONFIGURED)),
              Map.entry("backup", List.of("--db {log} {out}", "{out}" + CONFIGURED)),
              Map.entry("redate", List.of(LOG, CONFIGURED)),
              Map.entry("frames", List.of("{capture} --draft {out}")),
              Map.entry("spec test", List.of("{spec} {capture}")),
              Map.entry("spec show", List.of("{spec}")),
              Map.entry("note", List.of(LOG + "text", LOG)),
              Map.entry("meter", List.of(LOG + "--current 1 --accuracy 1%", LOG)),
              Map.entry("report", List.of(LOG + "{out}.html", "{out}.svg" + CONFIGURED)),
              Map.entry("label", List.of(LOG + "{out}.pdf", "{out}.svg" + CONFIGURED)),
              Map.entry("alerts", List.of(LOG, CONFIGURED)),
              Map.entry("alerts ack", List.of("--db {log} x", CONFIGURED + " x")),
              Map.entry("alerts test", List.of(CONFIGURED)),
              Map.entry("capacity", List.of(LOG + "--plot {out}.svg", CONFIGURED)),
              Map.entry(
                  "compare",
                  List.of(
                      "{log} --plan {plan} --plot {out}.svg --html {out}.html",
                      CENTRE + "--site hill --pack crate")),
              Map.entry("balance", List.of(LOG, CONFIGURED)),
              Map.entry("resistance", List.of(LOG, CONFIGURED)),
              Map.entry("rest", List.of(LOG, CONFIGURED)),
              Map.entry("energy", List.of(LOG, CONFIGURED)),
              Map.entry("ageing", List.of(LOG, CONFIGURED, CENTRE + "--site hill --pack crate")),
              Map.entry("fleet", List.of(CENTRE + "--html {out}.html")),
              Map.entry(
                  "gather",
                  List.of(
                      CENTRE
                          + "--broker mqtt://127.0.0.1:1 --broker-user u"
                          + " --broker-password-file {secret} --broker-ca-file {ca}",
                      CENTRE + "--site hill --rebuild-log {out}"))));

  /**
   * A folder of the system's own, in which nobody makes files: what is to be made is not missing.
   */
  private static final String NO_FILES = "/proc/made";

  /** Who may not enter a folder cannot know what is in it. */
  private static final String LOCKED = "/locked/";

  private static final Pattern MARK = Pattern.compile("\\{(\\w+)}");

  private static final String CAUSES =
      "(?s).*(no such|there is no|is a (directory|folder)|not a|takes no files|no"
          + " folder|[Pp]ermission|may not be|is no |no full path|is not|unknown|holds no|exists|no"
          + " JSON|is missing|no valid TOML|is empty|Not a directory|not there|no folder|read by"
          + " everybody).*";

  /** An answer out of a log that could be read. */
  private static final String READ_ALL_THE_SAME = "no active alert has the id";

  /** Who makes what is not there yet, as it should. */
  private static final Pattern MAKES = Pattern.compile("import --db \\S*/absent .*");

  /** It makes its folder, too; a whole night is played elsewhere. */
  private static final Pattern LEFT_OUT = Pattern.compile("demo --folder \\S*/absent/made.*");

  @TempDir private Path folder;

  /** A command line with its wrong file. */
  private record Case(String file, boolean mustFail, List<String> words) {}

  @Test
  void everyFileOfTheModelIsTried() {
    for (CommandLine verb : EveryVerb.all()) {
      String lines = String.join(" ", LINES.getOrDefault(EveryVerb.words(verb), List.of()));
      lines = lines.replace("--db", "--db --plan --config --store-password-file --store-ca-file");
      for (ArgSpec arg : verb.getCommandSpec().args()) {
        boolean isFile = List.of(arg.type(), arg.auxiliaryTypes()[0]).contains(Path.class);
        if (isFile && arg instanceof OptionSpec option) {
          assertThat(lines).as(EveryVerb.words(verb)).contains(option.longestName());
        } else if (isFile) {
          assertThat(lines)
              .as(EveryVerb.words(verb))
              .containsPattern("(^| )\\{(out|rows|capture|cells)");
        }
      }
    }
  }

  @Test
  void aFileThatIsWrongIsNamedWithItsCause() throws Exception {
    Path all = folder;
    List<Case> cases = new ArrayList<>();
    for (Map.Entry<String, List<String>> verb : LINES.entrySet()) {
      // None finds what another made.
      folder = Files.createDirectory(all.resolve(verb.getKey().replace(' ', '-')));
      good();
      for (String line : verb.getValue()) {
        for (MatchResult mark : MARK.matcher(line).results().toList()) {
          wrong(mark.group(1))
              .forEach((file, must) -> cases.add(with(verb.getKey(), line, mark, file, must)));
        }
      }
    }

    folder = all;
    cases.removeIf(tried -> LEFT_OUT.matcher(String.join(" ", tried.words())).matches());
    List<JsonValue> answers =
        ManyLines.answers(folder, cases.stream().map(Case::words).toList(), "0");

    List<String> bad = new ArrayList<>();
    for (int i = 0; i < cases.size(); i++) {
      String err = answers.get(i).text("err").orElse("");
      double code = answers.get(i).number("code").orElse(-1);
      String trouble = trouble(cases.get(i), code, err);
      if (!trouble.isEmpty()) {
        bad.add(trouble + ": " + cases.get(i).words() + " -> " + (int) code + " " + err.strip());
      }
    }
    assertThat(bad.isEmpty())
        .as(bad.size() + " of " + cases.size() + "\n" + String.join("\n", bad))
        .isTrue();
  }

  @Test
  void aLogNamedAloneIsAnsweredOrItsPlanAskedFor() throws Exception {
    good();
    List<String> bad = new ArrayList<>();
    for (Map.Entry<String, List<String>> verb : LINES.entrySet()) {
      String line = verb.getValue().get(0);
      if (line.contains(LOG)) {
        String alone = verb.getKey() + " " + line.replace("--plan {plan} ", "");
        String[] words = MARK.matcher(alone).replaceAll(m -> right(m.group(1))).strip().split(" +");
        Said said = Said.by(words);
        if (said.code() != 0 && !said.err().contains("--plan FILE")) {
          bad.add(String.join(" ", words) + " -> " + said.code() + " " + said.err().strip());
        }
      }
    }
    assertThat(bad).as(String.join("\n", bad)).isEmpty();
  }

  private static String trouble(Case tried, double code, String err) {
    if (err.contains("Exception") || err.contains("\tat ")) {
      return "an exception";
    }
    if (code == 0) {
      return tried.mustFail() ? "no complaint" : "";
    }
    if (code < 2 || code > 4) {
      return tried.mustFail() ? "exit code" : "";
    }
    if (err.contains("java.") || err.contains("(error ")) {
      return "a cause for nobody but us";
    }
    if (!tried.mustFail() && err.contains(READ_ALL_THE_SAME)) {
      return "";
    }
    if (!err.contains(Path.of(tried.file()).getFileName().toString())) {
      return "no file named";
    }
    if (err.contains("usermod")) {
      return "a group that has no more rights here";
    }
    boolean isMissing = !tried.file().equals(NO_FILES) && !tried.file().contains(LOCKED);
    return err.matches(CAUSES) && (isMissing || !err.contains("no such")) ? "" : "no cause";
  }

  private Case with(String verb, String line, MatchResult mark, String file, boolean must) {
    String tried = line.substring(0, mark.start()) + file + line.substring(mark.end());
    String whole = MARK.matcher(tried).replaceAll(m -> right(m.group(1)));
    List<String> words = new ArrayList<>(List.of(verb.split(" ")));
    List.of(whole.strip().split(" +")).forEach(words::add);
    boolean makes = MAKES.matcher(String.join(" ", words)).matches();
    return new Case(file, must && !makes, words);
  }

  private String right(String kind) {
    return switch (kind) {
      case "link" -> "tcp:127.0.0.1:1";
      case "out" -> folder + "/made-" + System.nanoTime();
      default -> folder + "/good." + kind + (kind.equals("spec") ? ".toml" : "");
    };
  }

  /** Files in every way in which they can be wrong; true where that must be an error. */
  private Map<String, Boolean> wrong(String kind) {
    Map<String, Boolean> wrong = new TreeMap<>();
    if (kind.equals("link")) {
      wrong.put(folder + "/absent-tty", true);
      wrong.put("ttyUSB0", true);
      wrong.put("192.0.2.1:4001", true);
      wrong.put("/dev/null", true);
      wrong.put(folder + "/a-folder", true);
      wrong.put(folder + "/empty", true);
      wrong.put(folder + "/closed", true);
      return wrong;
    }
    if (kind.equals("out")) {
      wrong.put(folder + "/absent/made", true);
      wrong.put(folder + "/shut/made", true);
      wrong.put(folder + "/good.plan/made", true);
      wrong.put(NO_FILES, true);
      return wrong;
    }
    if (kind.equals("log")) {
      for (Beside beside : Beside.values()) {
        wrong.put(folder + "/" + beside + "/it.db", false);
      }
    }
    String end = kind.equals("spec") ? ".toml" : "";
    wrong.put(folder + LOCKED + "it" + end, true);
    wrong.put(folder + "/absent" + end, true);
    wrong.put(folder + "/absent/deeper" + end, true);
    wrong.put(folder + "/closed" + end, true);
    wrong.put(folder + "/a-folder" + end, true);
    wrong.put(folder + "/noise" + end, true);
    wrong.put(folder + "/empty" + end, false);
    return wrong;
  }

  private void good() throws IOException, SQLException {
    String pack =
        """
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        cells = [["a"], ["b"], ["c"], ["d"]]
        """;
    write("good.plan", pack);
    write(
        "good.config",
        "[store]\nfile = \"good.log\"\n[mqtt]\nurl = \"mqtt://127.0.0.1:1\"\n"
            + pack
            + "[pack.line]\nspec = \"sorrel-16\"\nlink = \"tcp:127.0.0.1:1\"\n");
    write("good.rows", "time,cell_1_v\n2026-01-01T00:00:00Z,3.3\n2026-01-01T00:00:01Z,3.31\n");
    write(
        "good.cells",
        """
        id,donor,chemistry,rated_ah,parallel,rest_1_v,res_1_mohm,cap_1_ah,damage
        a,red,lfp,9,2,3.3,3.1,8.1,
        b,red,lfp,9,2,3.3,3.2,8.2,
        """);
    write("good.secret", "guess\n");
    Files.setPosixFilePermissions(
        folder.resolve("good.secret"), PosixFilePermissions.fromString("rw-------"));
    write("good.ca", CERTIFICATE);
    write("good.capture", "{\"at_ms\":1767225600000,\"dir\":\"rx\",\"hex\":\"0103\"}\n");
    Files.copy(Path.of("protocol-specs/sorrel-16.toml"), folder.resolve("good.spec.toml"));
    Said.whenDone(List.of("import", "--db", right("log"), "--plan", right("plan"), right("rows")));
    for (Beside beside : Beside.values()) {
      beside.make(folder, Path.of(right("log")));
    }
    for (String end : List.of("", ".toml")) {
      write("empty" + end, "");
      write("noise" + end, "\u0000\u0001 no file of anything\n".repeat(20));
      write("closed" + end, "id = 1\n");
      Files.setPosixFilePermissions(
          folder.resolve("closed" + end), PosixFilePermissions.fromString("---------"));
      Files.createDirectory(folder.resolve("a-folder" + end));
    }
    write("locked/it", "id = 1\n");
    write("locked/it.toml", "id = 1\n");
    Files.setPosixFilePermissions(
        folder.resolve("locked"), PosixFilePermissions.fromString("rw-------"));
    Files.createDirectory(
        folder.resolve("shut"),
        PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("r-xr-xr-x")));
  }

  /** What may be wrong with the files beside a log, and with its folder. */
  private enum Beside {
    WAL_CLOSED,
    WAL_READ_ONLY,
    WAL_IS_A_FOLDER,
    SHM_CLOSED,
    SHM_READ_ONLY,
    SHM_IS_A_FOLDER,
    TAIL_CLOSED,
    FOLDER_SHUT,
    LINK_TO_NOTHING;

    /** A log that was killed, so that all files are there, and one of them is wrong. */
    void make(Path place, Path log) throws IOException, SQLException {
      Path made = Files.createDirectory(place.resolve(name())).resolve("it.db");
      if (this == LINK_TO_NOTHING) {
        Files.createSymbolicLink(made, place.resolve("nowhere"));
        return;
      }
      Path open = Files.copy(log, place.resolve(name() + ".db"));
      try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + open);
          Statement statement = connection.createStatement()) {
        statement.execute("PRAGMA journal_mode=WAL");
        statement.execute("CREATE TABLE other(a)");
        for (String end : List.of("", "-wal", "-shm")) {
          Files.copy(Path.of(open + end), Path.of(made + end));
        }
      }
      Files.write(Path.of(made + "-tail"), new byte[9_000]);
      spoil(made);
    }

    private void spoil(Path made) throws IOException {
      Path file = Path.of(made + "-" + name().substring(0, name().indexOf('_')).toLowerCase(ROOT));
      if (this == FOLDER_SHUT) {
        Files.delete(Path.of(made + "-shm"));
        rights(made.resolveSibling("."), "r-xr-xr-x");
      } else if (name().endsWith("_CLOSED")) {
        rights(file, "---------");
      } else if (name().endsWith("_READ_ONLY")) {
        rights(file, "r--r--r--");
      } else {
        Files.delete(file);
        Files.createDirectories(file.resolve("inside"));
      }
    }

    private static void rights(Path file, String rights) throws IOException {
      Files.setPosixFilePermissions(file, PosixFilePermissions.fromString(rights));
    }
  }

  private void write(String name, String text) throws IOException {
    Files.createDirectories(folder.resolve(name).getParent());
    Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
  }
}
