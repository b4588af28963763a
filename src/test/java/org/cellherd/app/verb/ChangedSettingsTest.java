package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.cellherd.analysis.FindingName;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.app.daemon.Lines;
import org.cellherd.fleet.HeldLog;
import org.cellherd.fleet.TestCentre;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** A setting of the config is changed after a log was made with another one. */
class ChangedSettingsTest {

  /** After all that was drawn. */
  private static final long LATER = 1_793_500_000_000L;

  private static final Pattern MADE = Pattern.compile("Made \\d{1,2} \\w+ \\d{4} \\d\\d:\\d\\d");

  private static final List<String> VERBS =
      List.of("capacity", "balance", "resistance", "rest", "energy", "ageing");

  private static final Map<String, Map<String, String>> PACKS =
      Map.of(
          "shed",
          Map.of("chemistry", "\"lfp\"", "series", "16", "rated_ah", "100", "charge_mv", "55_600"),
          "crate",
          Map.of("chemistry", "\"lfp\"", "series", "4", "rated_ah", "27", "charge_mv", "14_000"));

  private static final long SEED = Long.getLong("cellherd.seed", 1);

  @TempDir private static Path drawn;
  private static Path before = Path.of("");
  @TempDir private Path folder;

  /** As usual, and each setting that an answer from the log rests on. */
  enum Setting {
    USUAL("", "", ""),
    ZONE("", "", ""),
    RATED("rated_ah", "31", ""),
    CHARGED("charge_mv", "54_800", ""),
    TAIL("tail_a", "9", ""),
    HIDDEN("hidden_load_ma", "400", ""),
    CYCLES("prior_cycles", "700", ""),
    PARTIAL("partial_charge", "true", ""),
    SENSORS("sensors", "[\"ambient\", \"ambient\", \"cell\"]", ""),
    LEVELS("", "", "[pack.cell]\nfull_mv = 3_420\nwarn_low_mv = 3_150\ncut_off_low_mv = 3_000\n"),
    BLED("", "", "[pack.board]\nname = \"b\"\nbleed_ma = 500\nbleed_from_mv = 3_350\n"),
    TRIP("", "", "[pack.board]\nname = \"b\"\ntrip_low_mv = 3_100\n"),
    CHANGED("", "", "[[pack.history]]\nat = 2026-06-20T20:00:00Z\nwhat = \"cell 2 replaced\"\n"),
    BALANCED("", "", "[pack.analysis]\nbalanced_mv = 40\nbalanced_hold_min = 5\n"),
    DEAD("", "", "[pack.analysis]\ndead_zone_a = 1.5\n"),
    ALARMS("", "", "[pack.alert.cell_high]\nwarn_mv = 3_500\n[pack.alert.hot]\nlimit_c = 50\n");

    private final String key;
    private final String value;
    private final String table;

    Setting(String key, String value, String table) {
      this.key = key;
      this.value = value;
      this.table = table;
    }

    private String config() {
      String zone = this == ZONE ? "Asia/Kolkata" : "Europe/Berlin";
      StringBuilder text = new StringBuilder("zone = \"" + zone + "\"\n");
      text.append("[store]\nfile = \"log.db\"\n");
      PACKS.forEach((id, usual) -> text.append(pack(id, usual)));
      return text.toString();
    }

    private String pack(String id, Map<String, String> usual) {
      StringBuilder text = new StringBuilder("[[pack]]\nid = \"" + id + "\"\nparallel = 1\n");
      Map<String, String> keys = new LinkedHashMap<>(usual);
      if (!key.isEmpty()) {
        keys.put(key, key.equals("charge_mv") && id.equals("crate") ? "13_800" : value);
      }
      keys.forEach((k, v) -> text.append(k).append(" = ").append(v).append('\n'));
      return text.append(table).toString();
    }
  }

  @BeforeAll
  static void draw() throws IOException, InterruptedException {
    new DrawnLog(drawn, SEED);
    before = site(drawn.resolve("before"), Setting.USUAL.config());
    take(before);
    run(before, 0);
  }

  private static Path site(Path site, String config) throws IOException {
    Files.createDirectories(site);
    Files.writeString(site.resolve("cellherd.toml"), config);
    return site;
  }

  private static void take(Path site) {
    for (String pack : PACKS.keySet()) {
      String config = site.resolve("cellherd.toml").toString();
      String file = drawn.resolve(pack + ".csv").toString();
      Said.whenDone(List.of("import", "--config", config, "--pack", pack, file));
    }
  }

  private static Config config(Path site) {
    return ConfigFiles.load(Optional.of(site.resolve("cellherd.toml")));
  }

  /** As long as it takes to know the whole log. */
  private static void run(Path site, int day) throws InterruptedException {
    SimulatedTime time = new SimulatedTime(LATER + day * 86_400_000L);
    Daemon.Parts parts =
        new Daemon.Parts(
            time,
            time,
            new Decoders(site)::find,
            Lines.systemLinks(time),
            List.of(),
            new MqttListener() {});
    try (Daemon daemon = Daemon.open(config(site), parts)) {
      new FastForward(daemon, time).awaitWholeLog();
    }
  }

  private static Path moved(Path site, Path place, String config) throws IOException {
    Path copy = site(place, config);
    try (Stream<Path> files = Files.list(site)) {
      for (Path file : files.filter(f -> f.getFileName().toString().startsWith("log")).toList()) {
        Files.copy(file, copy.resolve(file.getFileName()));
      }
    }
    return copy;
  }

  private static List<List<String>> questions(Path answer) {
    List<List<String>> all = new ArrayList<>();
    VERBS.forEach(verb -> all.add(List.of(verb, "--json")));
    all.add(List.of("energy"));
    all.add(List.of("balance"));
    all.add(List.of("setpoints"));
    all.add(List.of("report", "--format", "text", "--from", "2026-01-01"));
    all.add(List.of("report", "--from", "2026-01-01", answer.toString()));
    return all;
  }

  private Map<String, String> answers(List<String> where) throws IOException {
    Path answer = folder.resolve("answer.html");
    Map<String, String> all = new LinkedHashMap<>();
    for (String pack : PACKS.keySet()) {
      for (List<String> question : questions(answer)) {
        List<String> words = new ArrayList<>(question);
        words.addAll(List.of("--pack", pack));
        words.addAll(where);
        String said = Said.whenDone(words);
        String file = Files.exists(answer) ? Files.readString(answer) : "";
        Files.deleteIfExists(answer);
        all.put(
            pack + " " + String.join(" ", question), MADE.matcher(said + file).replaceAll("Made"));
      }
    }
    return all;
  }

  private Map<String, String> asked(Path site) throws IOException {
    return answers(List.of("--config", site.resolve("cellherd.toml").toString()));
  }

  private static void hold(TestCentre centre, Path site) throws Exception {
    Map<String, String> plans = new HashMap<>();
    config(site).packs().forEach(p -> plans.put(p.plan().id(), PlanText.of(p)));
    try (LogFile log = LogFile.open(site.resolve("log.db"), OpenMode.WRITER)) {
      HeldLog.hold(centre, "hill", log, plans, parcel -> true);
    }
  }

  private static void assertSame(String when, Map<String, String> is, Map<String, String> wanted) {
    wanted.forEach(
        (question, answer) ->
            assertThat(is.get(question)).as("%s: %s", when, question).isEqualTo(answer));
  }

  /** That of the days always, of the others so many as are run. */
  static Stream<Setting> settings() {
    List<Setting> others = new ArrayList<>(List.of(Setting.values()));
    others.removeAll(List.of(Setting.USUAL, Setting.ZONE));
    Collections.shuffle(others, new Random(SEED));
    System.out.println("seed " + SEED);
    return Stream.concat(
        Stream.of(Setting.ZONE), others.stream().limit(Integer.getInteger("cellherd.runs", 2)));
  }

  @ParameterizedTest
  @MethodSource("settings")
  void everyAnswerIsThatOfALogReadAfresh(Setting setting) throws Exception {
    Path usual = moved(before, folder.resolve("usual"), Setting.USUAL.config());
    TestCentre centre = TestCentre.fresh();
    hold(centre, usual);
    Path afresh = site(folder.resolve("afresh"), setting.config());
    take(afresh);
    run(afresh, 0);
    Path changed = moved(usual, folder.resolve("changed"), setting.config());

    Map<String, String> wanted = asked(afresh);
    assertSame("not run yet", asked(changed), wanted);

    run(changed, 1);
    run(afresh, 1);
    Map<String, String> here = asked(changed);
    assertSame("run", here, asked(afresh));

    hold(centre, changed);
    List<String> store = List.of("--store", centre.url("postgres"), "--site", "hill");
    assertSame("at the centre", answers(store), here);
    assertThat(centre.text("SELECT count(*) FROM cellherd.finding"))
        .as("results at the centre")
        .isEqualTo(number(changed));
  }

  private static String number(Path site) throws Exception {
    long all = 0;
    try (LogFile log = LogFile.open(site.resolve("log.db"), OpenMode.READER)) {
      for (String pack : PACKS.keySet()) {
        for (FindingName name : FindingName.values()) {
          all += log.history().findings(pack, name, Long.MIN_VALUE, Long.MAX_VALUE).size();
        }
      }
    }
    return "" + all;
  }
}
