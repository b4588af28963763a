package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.abort;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.Tools;
import org.cellherd.json.JsonValue;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Logs of drawn owners, groups and rights: where a message says that a group may, its members may,
 * and nobody is sent into the group of root.
 */
final class WhoMayTest {

  /** Of Debian's own: groups that any computer has. */
  private static final List<String> GROUPS = List.of("users", "games", "root");

  private static final List<String> OWNERS = List.of("nobody", "root");
  private static final List<Integer> OF_FILES = List.of(0600, 0640, 0660, 0664, 0604, 0000);
  private static final List<Integer> OF_FOLDERS = List.of(0700, 0750, 0770, 0775, 0755, 0500);
  private static final int LOGS = 40;

  @TempDir private Path folder;
  private Path log;
  private Path plan;

  /** A question or a change, the log it is about, and whose that is. */
  private record Case(Path log, List<String> words) {}

  @BeforeEach
  void aLog() throws Exception {
    Tools.require("setpriv");
    if (!System.getProperty("user.name").equals("root")) {
      abort("no right to give files to others");
    }
    plan =
        Files.writeString(
            folder.resolve("plan.toml"),
            """
            [[pack]]
            id = "crate"
            chemistry = "lfp"
            series = 4
            parallel = 6
            rated_ah = 27
            """);
    Path rows =
        Files.writeString(
            folder.resolve("rows.csv"),
            "time,cell_1_v\n2026-01-01T00:00:00Z,3.3\n2026-01-01T00:00:01Z,3.31\n");
    log = folder.resolve("made.db");
    Said.whenDone(
        List.of("import", "--db", log.toString(), "--plan", plan.toString(), rows.toString()));
  }

  @Test
  void whoIsSaidToHaveTheRightHasIt() throws Exception {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    System.out.println("seed " + seed);
    List<Case> cases = drawn(new Random(seed));

    List<JsonValue> denied = answers(cases, "0");

    for (String group : GROUPS) {
      String said = "usermod -aG " + group + " ";
      List<Case> named = new ArrayList<>();
      List<String> refusals = new ArrayList<>();
      for (int i = 0; i < cases.size(); i++) {
        String err = denied.get(i).text("err").orElse("");
        assertThat(err).as("seed %d", seed).doesNotContain("usermod -aG root", "Exception");
        if (err.contains(said)) {
          named.add(cases.get(i));
          refusals.add(err.substring(0, err.indexOf(';')));
        }
      }
      List<JsonValue> members = named.isEmpty() ? List.of() : answers(named, group);
      for (int i = 0; i < named.size(); i++) {
        assertThat(members.get(i).text("err").orElse(""))
            .as("seed %d %s", seed, rightsOf(named.get(i).log()))
            .doesNotContain(refusals.get(i));
      }
    }
  }

  /** Passwords and tokens are for the daemon alone: its group reads the log all the same. */
  @Test
  void whoMayReadTheLogNeedsNoneOfTheSecretsOfTheConfig() throws Exception {
    for (String name : List.of("broker", "token", "alive")) {
      Path secret = folder.resolve(name);
      Files.writeString(secret, name.equals("alive") ? "https://alive.lan/1" : "0123456789abcdef");
      own(secret, "nobody:games", 0600);
    }
    Path config =
        Files.writeString(
            folder.resolve("secret.toml"),
            "[store]\nfile = \"made.db\"\n"
                + Files.readString(plan)
                + """
                [mqtt]
                url = "mqtt://127.0.0.1"
                user = "cellherd"
                password_file = "broker"
                [page]
                listen = "0.0.0.0:8467"
                token_file = "token"
                [deadman]
                url_file = "alive"
                [forward]
                """);
    List<Case> asked = new ArrayList<>();
    for (String verb : List.of("balance", "energy", "alerts", "check", "export", "report")) {
      List<String> words = new ArrayList<>(List.of(verb, "--config", config.toString()));
      words.addAll(verb.equals("report") ? List.of("--format", "text") : List.of());
      asked.add(new Case(log, words));
    }
    List<Case> uses =
        List.of(
            new Case(log, List.of("run", "--config", config.toString())),
            new Case(log, List.of("alerts", "test", "--config", config.toString())));

    for (JsonValue answer : answers(asked, "0")) {
      assertThat(answer.text("err").orElse("")).doesNotContain("permission denied");
    }
    for (JsonValue answer : answers(uses, "0")) {
      assertThat(answer.text("err").orElse(""))
          .contains("password_file: cannot read", "token_file: cannot", "url_file: cannot");
    }
  }

  /** Two programs that ask one board would take each other's answers. */
  @Test
  void whoCannotSeeWhetherABoardIsWatchedDoesNotAskIt() throws Exception {
    List<Case> cases = new ArrayList<>();
    for (String shut : List.of("it.db", "it.db.lock", ".")) {
      Path place = Files.createDirectory(folder.resolve("shut" + shut));
      Files.copy(log, place.resolve("it.db"));
      Files.createFile(place.resolve("it.db.lock"));
      Path config =
          Files.writeString(
              folder.resolve("of-" + shut + ".toml"),
              "[store]\nfile = \""
                  + place.resolve("it.db")
                  + "\"\n"
                  + Files.readString(plan)
                  + "[pack.line]\nspec = \"sorrel-16\"\nlink = \"tcp:127.0.0.1:1\"\n");
      Files.setPosixFilePermissions(
          place.resolve("it.db.lock"), PosixFilePermissions.fromString("---------"));
      if (!shut.equals("it.db.lock")) {
        Files.setPosixFilePermissions(
            place.resolve(shut), PosixFilePermissions.fromString("---------"));
      }
      cases.add(new Case(place.resolve("it.db"), List.of("read", "--config", config.toString())));
    }

    for (JsonValue answer : answers(cases, "0")) {
      assertThat(answer.text("err").orElse(""))
          .contains("permission denied")
          .doesNotContain("tcp:127.0.0.1:1");
      assertThat(answer.number("code").orElse(0)).isEqualTo(4);
    }
  }

  private List<Case> drawn(Random random) throws Exception {
    List<Case> cases = new ArrayList<>();
    for (int i = 0; i < LOGS; i++) {
      Path place = Files.createDirectory(folder.resolve("drawn-" + i));
      Path file = Files.copy(log, place.resolve("it.db"));
      String group = GROUPS.get(random.nextInt(GROUPS.size()));
      String owner = OWNERS.get(random.nextInt(OWNERS.size()));
      String ofFolder = random.nextInt(4) > 0 ? group : GROUPS.get(random.nextInt(GROUPS.size()));
      own(file, owner + ":" + group, OF_FILES.get(random.nextInt(OF_FILES.size())));
      own(place, owner + ":" + ofFolder, OF_FOLDERS.get(random.nextInt(OF_FOLDERS.size())));
      List<String> about = List.of("--db", file.toString(), "--plan", plan.toString());
      for (String verb : List.of("energy", "note", "note text")) {
        List<String> words = new ArrayList<>(List.of(verb.split(" ")));
        words.addAll(1, about);
        cases.add(new Case(file, words));
      }
    }
    return cases;
  }

  private static void own(Path file, String owner, int rights) throws Exception {
    run(List.of("chown", owner, file.toString()));
    run(List.of("chmod", Integer.toOctalString(rights), file.toString()));
  }

  private static String rightsOf(Path file) throws Exception {
    return Files.getPosixFilePermissions(file)
        + " in "
        + Files.getPosixFilePermissions(file.getParent());
  }

  private static void run(List<String> command) throws Exception {
    assertThat(new ProcessBuilder(command).inheritIO().start().waitFor()).isZero();
  }

  private List<JsonValue> answers(List<Case> cases, String group) throws Exception {
    return ManyLines.answers(folder, cases.stream().map(Case::words).toList(), group);
  }
}
