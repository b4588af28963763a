package org.cellherd.app.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.Hot;
import org.cellherd.alert.rule.Rules;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.pack.PackPlan;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ConfigFilesTest {

  private static String resource(String name) throws IOException {
    try (var in = ConfigFilesTest.class.getResourceAsStream(name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private static String problemsOf(String name, String text) {
    Stop stop = catchThrowableOfType(Stop.class, () -> ConfigFiles.parse(Path.of(name), text));
    assertThat(stop).as(name).isNotNull();
    assertThat(stop.exitCode()).isEqualTo(ExitCode.USAGE);
    return String.valueOf(stop.getMessage());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "unknown-key | :7 pack[1].colour: unknown key",
        "misspelt-key | :7 pack[1].serie: unknown key, did you mean series?",
        "wrong-unit | :7 pack[1].charge_mv: is 14.4, allowed: a whole number",
        "impossible-plan | :7 pack[1].charge_mv: is 58400 mV for 4 cells in series, 14600 mV a"
            + " cell",
        "no-series | :4 pack[1].series: is 0, allowed: 1 to 64",
        "chemistry | :3 pack[1].chemistry: is \"lifepo\", allowed: lfp",
        "pack-id | :2 pack[1].id: is \"Field Crate\", allowed: a-z",
        "reserved-id | :2 pack[1].id: \"link\" is reserved",
        "twice | pack[2].id: \"crate\" appears twice",
        "link | pack[1].line.link: \"ttyUSB0\" is no full path, did you mean \"/dev/ttyUSB0\"?",
        "no-spec | pack[1].line.spec: is missing",
        "broker-url | mqtt.url: 'http://broker' begins with neither mqtt:// nor mqtts://",
        "password-inside | mqtt.password: secrets are never in this file",
        "root | mqtt.root: \"a/#\" is no topic",
        "homie | mqtt: homie = \"a/b\" must be one topic word",
        "ca-without-tls | mqtt.ca_file: is of no use without TLS",
        "page-open | :2 page.listen: others can reach \"0.0.0.0:8467\": add token_file",
        "page-port | :2 page.listen: \"localhost\" is no address, allowed: HOST:PORT",
        "page-token | :2 page.token: secrets are never in this file",
        "page-name | :2 page.names: \"http://pi.lan/\" is no host name",
        "alert-table | alert.cell_hihg: unknown key, did you mean cell_high?",
        "priority | alert.cell_high.priority: is \"loud\", allowed: critical, warning, note",
        "command-path | run: \"buzzer\" is no full path",
        "bank | bank[1].packs: holds \"sheed\", allowed: crate",
        "zone | :1 zone: \"Mars/Olympus\" is no time zone",
        "no-pack | pack: there is no [[pack]]",
        "cell-order | pack[1].cell: cell voltages must fall",
        "knee-on-plateau | pack[1].cell: knee_mv is 3250, but the plateau of lfp ends at 3370 mV",
        "not-toml | :7: no valid TOML"
      })
  void eachMistakeIsToldWithItsLineAndWhatWouldBeRight(String name, String expected)
      throws IOException {
    String file = name + ".bad.toml";

    assertThat(problemsOf(file, resource(file))).startsWith(file).contains(expected);
  }

  @Test
  void allMistakesAreToldAtOnceInTheOrderOfTheFile() {
    String text =
        """
        site = 7
        [[pack]]
        id = "a"
        chemistry = "lfp"
        series = 99
        parallel = 0
        rated_ah = 1
        """;

    assertThat(problemsOf("c.toml", text).lines())
        .hasSize(3)
        .element(0)
        .asString()
        .startsWith("c.toml:1 site");
  }

  /** What is right is not held against what is not. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "rated_ah = nan",
        "parallel = 0",
        "chemistry = \"led\"",
        "series = 0",
        "id = \"A pack\"",
        "charge_mv = 99999",
        "packs = [\"a\", \"a\"]",
        "packs = [\"a\", \"c\"]"
      })
  void oneMistakeIsToldOnce(String mistake) {
    String right =
        """
        [[pack]]
        id = "a"
        chemistry = "lfp"
        series = 4
        parallel = 1
        rated_ah = 9
        charge_mv = 14400
        cells = [["a"], ["b"], ["c"], ["d"]]
        [[pack]]
        id = "b"
        chemistry = "lfp"
        series = 4
        parallel = 1
        rated_ah = 9
        [[bank]]
        id = "both"
        packs = ["a", "b"]
        """;
    String key = mistake.substring(0, mistake.indexOf(' '));
    String renamed =
        key.equals("id") ? right.replace("[\"a\", \"b\"]", "[\"A pack\", \"b\"]") : right;
    String wrong = renamed.replaceFirst("(?m)^" + key + " = .*$", mistake);

    assertThat(problemsOf("c.toml", wrong).lines()).singleElement().asString().contains(key);
  }

  /** The config with every table, and the file with the secret that it names. */
  private static Config full(Path folder) throws IOException {
    secret(folder.resolve("deadman-url"), "http://listener.lan/crate\n");
    return ConfigFiles.parse(folder.resolve("full.toml"), resource("full.good.toml"));
  }

  private static Path secret(Path file, String text) throws IOException {
    Files.writeString(file, text);
    return Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-------"));
  }

  @Test
  void fullConfigIsReadKeyByKey(@TempDir Path folder) throws IOException {
    Config config = full(folder);

    assertThat(config.site()).isEqualTo("cabin");
    assertThat(config.zone()).isEqualTo(ZoneId.of("Europe/Lisbon"));
    assertThat(config.storeFile()).isEqualTo(folder.resolve("log/cells.db"));
    assertThat(config.store().atRiskMs()).isEqualTo(30_000);
    assertThat(config.store().keepDays()).hasValue(730);
    assertThat(config.store().maxFileBytes()).hasValue(2000L << 20);
    assertThat(config.commands()).containsExactly(List.of("/usr/local/bin/buzzer", "--long"));
    assertThat(config.banks()).containsExactly(new Config.Bank("both", List.of("crate", "shed")));
    Config.DeadMan deadMan = config.deadMan().orElseThrow();
    assertThat(deadMan.address()).hasToString("http://listener.lan/crate");
    assertThat(deadMan.everySeconds()).isEqualTo(120);
    assertThat(config.morning().orElseThrow().at()).hasToString("06:30");
    var page = config.page().orElseThrow();
    assertThat(page.listen().getPort()).isEqualTo(8467);
    assertThat(page.listen().getAddress().isLoopbackAddress()).isTrue();
    assertThat(page.names()).containsExactly("cabin.lan");
    assertThat(page.reports()).contains(folder.resolve("reports"));
    var mqtt = config.mqtt().orElseThrow();
    assertThat(mqtt.link().url()).hasToString("mqtt://broker.lan:1883");
    assertThat(mqtt.publishEveryS()).isEqualTo(15);
    assertThat(mqtt.heartbeatS()).isEqualTo(30);
    assertThat(mqtt.announce()).hasSize(1);
    assertThat(mqtt.topics().link()).isEqualTo("home/batteries/link");

    PackConfig pack = config.packs().get(0);
    PackPlan plan = pack.plan();
    assertThat(plan.chargeMv()).isEqualTo(13_900);
    assertThat(plan.tailMa()).isEqualTo(1000);
    assertThat(plan.chargerMa()).hasValue(5500);
    assertThat(plan.limits().cutOffHighMv()).isEqualTo(3640);
    assertThat(plan.limits().warnHighMv()).isEqualTo(3580);
    assertThat(plan.cell().peakMa()).hasValue(20_000);
    assertThat(plan.board().orElseThrow().bleedMa()).hasValue(130);
    assertThat(plan.fuse().orElseThrow().maxMv()).hasValue(32_000);
    assertThat(plan.wire().orElseThrow().tenthMm2()).hasValue(100);
    assertThat(plan.history()).hasSize(2);
    assertThat(plan.unitsOf(1, 0)).isEqualTo("a1, a2, a3, a4, a5, a6");
    assertThat(plan.unitsOf(1, Long.MAX_VALUE)).isEqualTo("c9, a2, a3, a4, a5, a6");
    assertThat(plan.partialCharge()).isTrue();
    assertThat(pack.analysis().deadZoneMa()).hasValue(300);
    assertThat(pack.analysis().balancedMv()).isEqualTo(12);
    assertThat(pack.alerts().dailyQuota()).isEqualTo(5);
    assertThat(pack.alerts().pollMs()).isEqualTo(2000);
    assertThat(pack.alerts().rule(CellHigh.ID).priority()).isEqualTo(Priority.CRITICAL);
    assertThat(pack.alerts().rule(Hot.ID).enabled()).isFalse();
    assertThat(pack.alerts().rule(Rules.id("silent")).priority()).isEqualTo(Priority.NOTE);
    LineConfig line = pack.line().orElseThrow();
    assertThat(line.settings(LineSettings.DEFAULT))
        .isEqualTo(new LineSettings(19_200, 8, LineSettings.Parity.EVEN, 1));
    assertThat(line.address()).isEqualTo(3);
    assertThat(line.pollMs()).isEqualTo(2000);
    assertThat(config.packs().get(1).line()).isEmpty();
  }

  @Test
  void planWrittenAsTextIsReadBackTheSame(@TempDir Path folder) throws IOException {
    for (PackConfig pack : full(folder).packs()) {
      Path file = Files.writeString(folder.resolve("plan.toml"), PlanText.of(pack));

      PackConfig read = ConfigFiles.loadPlans(file).packs().get(0);
      assertThat(read.plan()).isEqualTo(pack.plan());
      assertThat(read.analysis()).isEqualTo(pack.analysis());
      assertThat(PlanText.of(read)).isEqualTo(PlanText.of(pack));
    }
  }

  @Test
  void logOfTheServiceIsKeptOutOfItsConfigFolder() {
    String text =
        "[[pack]]\nid = \"a\"\nchemistry = \"lfp\"\nseries = 4\nparallel = 1\nrated_ah = 9\n";

    assertThat(ConfigFiles.parse(Path.of("/etc/cellherd/cellherd.toml"), text).storeFile())
        .isEqualTo(Path.of("/var/lib/cellherd/cellherd.db"));
    assertThat(ConfigFiles.parse(Path.of("/home/me/cellherd.toml"), text).storeFile())
        .isEqualTo(Path.of("/home/me/cellherd.db"));
  }

  @Test
  void planFileMayTellWhereDaysBeginAtMidnight(@TempDir Path folder) throws IOException {
    PackConfig pack = full(folder).packs().get(0);
    String text = "zone = \"+05:45\"\n" + PlanText.of(pack.plan());

    PlanFile file = ConfigFiles.loadPlans(Files.writeString(folder.resolve("plan.toml"), text));

    assertThat(file.zone()).contains(ZoneOffset.ofHoursMinutes(5, 45));
  }

  @Test
  void shortTokenOfThePageIsRefusedAndNeverPrinted(@TempDir Path folder) throws IOException {
    Path secret = secret(folder.resolve("token"), "hunter2\n");
    String text =
        "[page]\nlisten = \"0.0.0.0:8467\"\ntoken_file = \""
            + secret
            + "\"\n"
            + "[[pack]]\n"
            + "id = \"a\"\n"
            + "chemistry = \"lfp\"\n"
            + "series = 4\n"
            + "parallel = 1\n"
            + "rated_ah = 9\n";

    assertThat(problemsOf("c.toml", text))
        .contains("page.token_file: " + secret + " holds 7 characters, allowed: 16 or more")
        .doesNotContain("hunter2");
  }

  @Test
  void secretThatEverybodyMayReadIsRefusedAndNeverPrinted(@TempDir Path folder) throws IOException {
    Path secret = Files.writeString(folder.resolve("password"), "hunter2\n");
    Files.setPosixFilePermissions(secret, PosixFilePermissions.fromString("rw-r--r--"));
    String text =
        resource("unknown-key.bad.toml").replace("colour = \"red\"\n", "")
            + "[mqtt]\nurl = \"mqtt://b\"\nuser = \"u\"\npassword_file = \"password\"\n";
    Path file = folder.resolve("cellherd.toml");

    assertThat(problemsOf(file.toString(), text)).contains("chmod 600").doesNotContain("hunter2");

    Files.setPosixFilePermissions(secret, PosixFilePermissions.fromString("rw-------"));
    Config config = ConfigFiles.parse(file, text);
    assertThat(config.toString()).doesNotContain("hunter2");
  }

  @Test
  void secretFileThatIsNotThereIsNamed(@TempDir Path folder) throws IOException {
    String text =
        resource("unknown-key.bad.toml").replace("colour = \"red\"\n", "")
            + "[deadman]\nurl_file = \"nowhere\"\n";

    assertThat(problemsOf(folder.resolve("cellherd.toml").toString(), text))
        .contains("deadman.url_file: cannot read")
        .contains("no such file");
  }

  @Test
  void missingConfigSaysWhereItIsLookedFor(@TempDir Path folder) {
    Stop stop =
        catchThrowableOfType(
            Stop.class, () -> ConfigFiles.load(Optional.of(folder.resolve("none.toml"))));

    assertThat(stop.exitCode()).isEqualTo(ExitCode.USAGE);
    assertThat(stop.getMessage()).contains("none.toml").contains("no such file");
  }

  @Test
  void unchangedLineKeepsTheDescriptionsSettings() {
    LineConfig line =
        new LineConfig(
            "x",
            "tcp:h:1",
            1,
            1000,
            OptionalInt.empty(),
            OptionalInt.empty(),
            Optional.empty(),
            OptionalInt.empty());

    assertThat(line.settings(LineSettings.DEFAULT)).isEqualTo(LineSettings.DEFAULT);
  }
}
