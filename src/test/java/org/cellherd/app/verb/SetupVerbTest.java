package org.cellherd.app.verb;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import org.cellherd.app.ExitCode;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Decoders;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TcpBoardServer;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The first minutes with a board, as a new user has them. */
class SetupVerbTest {

  private static final String ANSWERS = "Crate \"A\"\n\nlfp\n\n6\n27\n\n\n";

  @TempDir Path folder;

  private final InputStream usual = System.in;
  private final StringWriter said = new StringWriter();
  private String target = "cellherd.toml";
  private TcpBoardServer board;
  private Thread serving;

  @BeforeEach
  void startBoard() throws Exception {
    SystemTime time = new SystemTime();
    Decoders decoders = new Decoders(folder.resolve("cellherd.toml"));
    Played night = Played.scenario(Scenarios.open("first-night"), decoders, time, 1);
    TcpBoardServer server = new TcpBoardServer(night.wire(), time, 0, false);
    serving = new Thread(() -> serve(server), "simulated-board");
    serving.start();
    board = server;
  }

  private static void serve(TcpBoardServer server) {
    try {
      server.serve(() -> true);
    } catch (InterruptedException ended) {
      Thread.currentThread().interrupt();
    }
  }

  @AfterEach
  void stopBoard() throws Exception {
    System.setIn(usual);
    board.close();
    serving.join();
  }

  private int setup(String... options) {
    return answered(ANSWERS, options);
  }

  private int answered(String answers, String... options) {
    System.setIn(new ByteArrayInputStream(answers.getBytes(UTF_8)));
    PrintWriter out = new PrintWriter(said, true);
    String[] words = new String[options.length + 5];
    words[0] = "setup";
    words[1] = "--link";
    words[2] = "tcp:127.0.0.1:" + board.port();
    words[3] = "--out";
    words[4] = folder.resolve(target).toString();
    System.arraycopy(options, 0, words, 5, options.length);
    return RootCommand.commandLine(words).setOut(out).setErr(out).execute(words);
  }

  private String config() throws IOException {
    return Files.readString(folder.resolve("cellherd.toml"));
  }

  /** The shipped description under another title: the user's own. */
  private static String own() {
    return Specs.shippedText("sorrel-16.toml")
        .orElseThrow()
        .replaceFirst("(?m)^title = .*$", "title = \"Board of the shed\"");
  }

  private void describe(String file, String text) throws IOException {
    Path path = folder.resolve(file);
    Files.createDirectories(path.getParent());
    Files.writeString(path, text);
  }

  @Test
  void ownDescriptionBesideTheConfigIsTriedFirstAndNamedInIt() throws Exception {
    describe("protocol-specs/shed.toml", own());
    describe("protocol-specs/shed.vectors.toml", "not for this");

    assertThat(setup()).isEqualTo(ExitCode.DONE);

    assertThat(said.toString())
        .contains("your own descriptions come first: protocol-specs/shed.toml")
        .contains("a board answers: Board of the shed (protocol-specs/shed.toml), address 1")
        .doesNotContain("left out");
    assertThat(config()).contains("spec = \"protocol-specs/shed.toml\"");
  }

  @Test
  void brokenDescriptionsAreToldInALineEachAndLeftOut() throws Exception {
    describe("protocol-specs/a-broken.toml", "title = \"x\"\nfoo = 1\n\u001b[2J = 3\n");
    describe("protocol-specs/b-huge.toml", "#".repeat(5_000_000));
    Files.write(folder.resolve("protocol-specs/c-binary.toml"), new byte[] {-1, -2, 0, 1});
    describe("protocol-specs/d-shed.toml", own());

    assertThat(setup()).isEqualTo(ExitCode.DONE);

    assertThat(said.toString().lines().filter(line -> line.startsWith("left out: ")))
        .hasSize(3)
        .anyMatch(line -> line.contains("a-broken.toml:"))
        .anyMatch(line -> line.contains("b-huge.toml: is too long"))
        .anyMatch(line -> line.contains("c-binary.toml: is no UTF-8 text"));
    assertThat(said.toString()).doesNotContain("\u001b");
    assertThat(config()).contains("spec = \"protocol-specs/d-shed.toml\"");
  }

  @Test
  void descriptionNamedByItsFileIsWrittenAsTheConfigFindsIt() throws Exception {
    describe("elsewhere/shed.toml", own());
    Path spec = folder.resolve("elsewhere/shed.toml");

    assertThat(setup("--spec", spec.toString(), "--spec", "no-such-board"))
        .isEqualTo(ExitCode.DONE);

    assertThat(said.toString()).contains("left out: there is no board description");
    assertThat(config()).contains("spec = \"elsewhere/shed.toml\"");
  }

  @Test
  void whereNoDescriptionCanBeUsedNothingIsTried() {
    assertThat(setup("--spec", "no-such-board")).isEqualTo(ExitCode.USAGE);

    assertThat(said.toString()).contains("nothing was tried").doesNotContain("a board answers");
    assertThat(folder.resolve("cellherd.toml")).doesNotExist();
  }

  @Test
  void wordsAreUnderstoodAsPeopleWriteThem() throws Exception {
    assertThat(answered("H\u00fctte 1\n\nLFP\n\n6\n27,5\n\n\n")).isEqualTo(ExitCode.DONE);

    assertThat(config()).contains("id = \"hutte-1\"", "chemistry = \"lfp\"", "rated_ah = 27.5");
    // 2 % of 27.5 Ah are 0.55 Ah; C/300 over five hours is 0.46.
    assertThat(said.toString()).contains("one reading of a trusted meter under load, at 5.5 A");
  }

  @Test
  void nobodyIsAskedForWhatCannotBeWritten() {
    target = "missing/cellherd.toml";

    assertThat(setup()).isEqualTo(ExitCode.USAGE);

    assertThat(said.toString()).contains("there is no folder").doesNotContain("trying");
  }

  @Test
  void chemistryIsNeverGuessedAndDoubtedWhereTheCellsContradictIt() {
    assertThat(answered("Crate\n\n\nlto\nlto\n\n6\n27\n\n\n")).isEqualTo(ExitCode.NO);

    assertThat(said.toString())
        .contains("lfp, nmc, nca, lto or sodium-ion")
        .containsPattern("Cell \\d is at 3\\.3.. V, and lto ends at 2\\.8");
  }

  @Test
  void aNumberOfCellsThatTheBoardContradictsIsAskedForAgain() throws Exception {
    assertThat(answered("Crate\n\nlfp\n6\n4\n6\n27\n\n\n")).isEqualTo(ExitCode.DONE);

    assertThat(said.toString()).contains("The board reports 4 cells, the plan has 6 in series");
    assertThat(config()).contains("series = 4");
  }

  @Test
  void whoKeepsAContradictionIsToldThatItFails() throws Exception {
    assertThat(answered("Crate\n\nlfp\n6\n6\n6\n27\n\n\n")).isEqualTo(ExitCode.NO);

    assertThat(said.toString()).contains("FAIL  The board reports 4 cells, the plan has 6");
    assertThat(config()).contains("series = 6");
  }

  /** Under one site, two computers write each other's topics. */
  @Test
  void siteIsAskedForAndProposedAsThisComputerIsCalled() throws Exception {
    assertThat(setup()).isEqualTo(ExitCode.DONE);
    assertThat(config()).contains("site = \"" + ShortId.ofThisComputer() + "\"");

    target = "second.toml";
    assertThat(answered("Crate\n\nlfp\n\n6\n27\n\nShed 2\nshed-2\n")).isEqualTo(ExitCode.DONE);

    assertThat(said.toString()).contains("another on each computer", "a-z, 0-9 and single hyphens");
    assertThat(Files.readString(folder.resolve(target))).contains("site = \"shed-2\"");
  }

  @Test
  void everyLineOfTheDraftCanBeUncommentedInItsPlace() throws Exception {
    assertThat(setup()).isEqualTo(ExitCode.DONE);
    Files.writeString(folder.resolve("mqtt-password"), "x");
    Files.setPosixFilePermissions(
        folder.resolve("mqtt-password"), PosixFilePermissions.fromString("rw-------"));
    Path whole = folder.resolve("whole.toml");
    Files.writeString(whole, config().replaceAll("(?m)^#(?! )", ""));

    StringWriter check = new StringWriter();
    PrintWriter out = new PrintWriter(check, true);
    RootCommand.commandLine()
        .setOut(out)
        .setErr(out)
        .execute("check", "--config", whole.toString());

    assertThat(check.toString()).contains("Crate \"A\": 4S6P lfp").doesNotContain("no load_a");
  }
}
