package org.cellherd.app.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.Tools;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Judged by the system itself: who may run a program is asked by running it as that user. */
class CommandCheckTest {

  private static final int TREES = 40;

  @TempDir private Path folder;

  private final UserAccount self = UserAccount.current().orElseThrow();

  @BeforeEach
  void openFolder() throws IOException {
    Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxr-xr-x"));
  }

  private boolean isRoot() {
    return self.uid() == 0;
  }

  /** As root for a stranger or for root, else for whoever runs the test. */
  private UserAccount drawnAccount(Random random) {
    if (!isRoot()) {
      return self;
    }
    return switch (random.nextInt(4)) {
      case 0 -> new UserAccount("root", 0, Set.of(0));
      case 1 -> new UserAccount("alone", DrawnTree.OWN, Set.of(DrawnTree.OWN));
      default -> new UserAccount("own", DrawnTree.OWN, Set.of(DrawnTree.OWN, DrawnTree.OWN_GROUP));
    };
  }

  private boolean runs(UserAccount who, Path program) throws Exception {
    List<String> words = new ArrayList<>();
    if (isRoot()) {
      String gids = who.gids().stream().map(String::valueOf).collect(Collectors.joining(","));
      words.addAll(
          List.of(
              Tools.require("setpriv").toString(),
              "--reuid=" + who.uid(),
              "--regid=" + who.uid(),
              "--groups=" + gids,
              "--"));
    }
    // It is env that looks the program up: setpriv itself still may do what root may.
    words.add(Tools.require("env").toString());
    words.add(program.toString());
    Process process =
        new ProcessBuilder(words)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    process.getOutputStream().close();
    return process.waitFor() == 0;
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void whatIsCalledRunnableRunsAndNothingElseDoes(long seed) throws Exception {
    Random random = new Random(seed);
    int running = 0;
    for (int i = 0; i < TREES; i++) {
      Path tree = Files.createDirectory(folder.resolve("tree" + i));
      Files.setPosixFilePermissions(tree, PosixFilePermissions.fromString("rwxr-xr-x"));
      Path program = new DrawnTree(tree, random.nextLong(), isRoot()).program();
      UserAccount who = drawnAccount(random);

      CommandCheck check =
          CommandCheck.of(
              "alert.command", List.of(program.toString()), new CommandUser(who, List.of()));

      boolean runs = runs(who, program);
      running += runs ? 1 : 0;
      assertThat(check.verdict())
          .as("seed %d, tree %d, %s: %s", seed, i, who, check.sentence())
          .isEqualTo(runs ? Verdict.OK : Verdict.FAIL);
    }
    assertThat(running).as("both answers are drawn").isBetween(3, TREES - 3);
  }

  @Test
  void usersAndTheirGroupsAreThoseThatTheSystemNames() throws Exception {
    for (String line : Files.readAllLines(Path.of("/etc/passwd"))) {
      String name = line.split(":", 2)[0];
      UserAccount account = UserAccount.named(name).orElseThrow();

      assertThat(account.uid()).as(name).isEqualTo(Integer.parseInt(answer("-u", name)));
      assertThat(account.gids()).as(name).isEqualTo(numbers(answer("-G", name)));
    }
    assertThat(self.uid()).isEqualTo(Integer.parseInt(answer("-u")));
    assertThat(self.gids()).isEqualTo(numbers(answer("-G")));
    assertThat(UserAccount.named("nobody-of-that-name")).isEmpty();
  }

  private static Set<Integer> numbers(String words) {
    return Arrays.stream(words.split(" ")).map(Integer::parseInt).collect(Collectors.toSet());
  }

  private static String answer(String... words) throws Exception {
    List<String> command = new ArrayList<>(List.of(Tools.require("id").toString()));
    command.addAll(List.of(words));
    Process process = new ProcessBuilder(command).start();
    String answer =
        new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
    assertThat(process.waitFor()).as("id of %s", command).isZero();
    return answer;
  }

  @Test
  void theServiceIsWarnedOfWhatItsUnitHides() throws Exception {
    CommandUser service = new CommandUser(self, CommandUser.HIDDEN_FROM_SERVICE);
    Path link = Files.createSymbolicLink(folder.resolve("link"), Path.of("/bin/true"));

    assertThat(CommandCheck.of("morning", List.of("/bin/true"), service).verdict())
        .isEqualTo(Verdict.OK);
    assertThat(CommandCheck.of("morning", List.of("/bin/true", "/home/me/horn.wav"), service))
        .matches(check -> check.verdict() == Verdict.WARN)
        .matches(check -> check.sentence().contains("does not see /home/me/horn.wav"));
    assertThat(CommandCheck.of("morning", List.of(link.toString()), service).verdict())
        .isEqualTo(link.startsWith("/tmp") ? Verdict.WARN : Verdict.OK);
    assertThat(CommandCheck.of("morning", List.of("/home/none/horn"), service).verdict())
        .isEqualTo(Verdict.FAIL);
  }

  /** What the check supposes of the unit is what the unit says. */
  @Test
  void whatIsCalledHiddenIsHiddenByTheUnit() throws Exception {
    assertThat(Files.readAllLines(Path.of("src/deb/cellherd.service")))
        .contains("User=cellherd", "ProtectHome=yes", "PrivateTmp=yes");
  }

  /** Judged by the service manager's own reader. */
  @Test
  void everySettingOfTheDropInIsUnderstood() throws Exception {
    String analyze = Tools.require("systemd-analyze").toString();
    String unit = Files.readString(Path.of("src/deb/cellherd.service"));
    Path file = folder.resolve("cellherd.service");
    Files.writeString(file, unit.replaceAll("(?m)^ExecStart=.*$", "ExecStart=/bin/true"));
    Path dropIn = Files.createDirectory(folder.resolve("cellherd.service.d"));
    String example = Files.readString(Path.of("src/deb/examples/buzzer.conf"));
    String open = example.replaceAll("(?m)^#(?=[A-Z][A-Za-z]+=)", "");
    assertThat(open.lines().filter(line -> line.startsWith("DeviceAllow="))).hasSize(2);
    Files.writeString(dropIn.resolve("buzzer.conf"), open);

    Process process =
        new ProcessBuilder(analyze, "verify", "--man=no", file.toString())
            .redirectErrorStream(true)
            .start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);

    assertThat(process.waitFor()).as(said).isZero();
    assertThat(said).doesNotContain("buzzer.conf", "cellherd.service:");
  }
}
