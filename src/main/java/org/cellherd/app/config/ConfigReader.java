package org.cellherd.app.config;

import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.board.LinkAddress;
import org.cellherd.mqtt.AnnouncePlan;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.store.sql.StoreSettings;
import org.cellherd.toml.TomlTable;

/** Reads the config file's table; problems are collected, not thrown. */
final class ConfigReader {

  /** Stands for a pack whose mistakes were told, so that those of its other tables are, too. */
  static final PackPlan UNREADABLE = PackPlan.of("x", Chemistry.LFP, 1, 1, 1000);

  private static final String LOG = "cellherd.db";
  private static final Path SERVICE_CONFIG = Path.of("/etc/cellherd");
  private static final Path SERVICE_DATA = Path.of("/var/lib/cellherd");

  private final Path file;
  private final TomlTable top;
  private final SecretFile.Reader who;

  ConfigReader(Path file, TomlTable top, SecretFile.Reader who) {
    this.file = file;
    this.top = top;
    this.who = who;
  }

  Config read() {
    String site =
        top.has("site") ? top.textLike("site", PackPlan.ID_PATTERN, PackPlan.ID_WORDS) : "home";
    ZoneId zone = ZoneReader.read(top).orElseGet(ZoneId::systemDefault);
    TomlTable store = top.tableOrEmpty("store");
    Path storeFile = store.textIfAny("file").map(this::beside).orElseGet(this::usualLog);
    StoreSettings storeSettings = store(store);
    List<PackConfig> packs = packs(zone);
    Optional<MqttSettings> mqtt =
        top.tableIfAny("mqtt").flatMap(t -> new MqttReader(this::beside, t, who).read(site));
    mqtt.ifPresent(m -> checkAnnouncements(m, packs));
    return new Config(
        file,
        site,
        zone,
        storeFile,
        storeSettings.forPacks(packs.size()),
        packs,
        banks(),
        mqtt,
        top.tableIfAny("page").map(t -> new PageReader(this::beside, t, who).read()),
        top.tableIfAny("deadman").flatMap(this::deadMan),
        commands(),
        top.tableIfAny("morning").flatMap(ConfigReader::morning),
        top.tableIfAny("forward")
            .flatMap(t -> new ForwardReader(this::beside, t, who).read(site, mqtt)));
  }

  private void checkAnnouncements(MqttSettings mqtt, List<PackConfig> packs) {
    List<PackPlan> plans = packs.stream().map(PackConfig::plan).toList();
    for (String problem : AnnouncePlan.of(mqtt, plans).problems()) {
      top.table("mqtt").problem("announce", problem);
    }
  }

  /** Beside the config; but the service must not write where its config lies. */
  private Path usualLog() {
    boolean isService = SERVICE_CONFIG.equals(file.toAbsolutePath().normalize().getParent());
    return isService ? SERVICE_DATA.resolve(LOG) : beside(LOG);
  }

  /** A path of the file, relative to the file itself. */
  private Path beside(String path) {
    Path parent = file.toAbsolutePath().getParent();
    return parent == null ? Path.of(path) : parent.resolve(path);
  }

  private static StoreSettings store(TomlTable t) {
    int atRiskS = t.integer("at_risk_s", 1, 300, 10);
    OptionalInt days = t.integerIfAny("keep_raw_days", 1, 100_000);
    OptionalInt mib = t.integerIfAny("keep_raw_mb", 1, 1_000_000);
    return StoreSettings.DEFAULT
        .withAtRiskMs(atRiskS * 1000L)
        .withLimits(
            days,
            mib.isPresent() ? OptionalLong.of(mib.getAsInt() * 1_048_576L) : OptionalLong.empty());
  }

  private List<PackConfig> packs(ZoneId zone) {
    List<PackConfig> packs = new ArrayList<>();
    Set<String> ids = new HashSet<>();
    TomlTable alert = top.tableOrEmpty("alert");
    for (TomlTable pack : top.tables("pack")) {
      Optional<LineConfig> line = pack.tableIfAny("line").map(LineConfig::read);
      line.ifPresent(l -> checkLink(pack, l));
      Optional<PackPlan> plan = PlanReader.read(pack);
      PackPlan readable = plan.orElse(UNREADABLE);
      if (plan.isPresent() && !ids.add(readable.id())) {
        pack.problem("id", "\"" + readable.id() + "\" appears twice; every pack needs its own id");
      }
      AlertSettings alerts =
          AlertReader.read(
              alert,
              Rules.defaults(readable)
                  .withZone(zone)
                  .withPollMs(line.map(LineConfig::pollMs).orElse(1000)));
      AnalysisSettings levels = AnalysisSettings.of(readable).withZone(zone);
      packs.add(overlaid(pack, new PackConfig(readable, line, levels, alerts)));
    }
    if (packs.isEmpty()) {
      top.problem("pack", "there is no [[pack]]");
      AlertReader.read(alert, Rules.defaults(UNREADABLE));
    }
    return packs;
  }

  /** Lays what a {@code [[pack]]} says of analyses and rules over what holds else. */
  static PackConfig overlaid(TomlTable pack, PackConfig usual) {
    return new PackConfig(
        usual.plan(),
        usual.line(),
        analysis(pack.tableOrEmpty("analysis"), usual.analysis()),
        AlertReader.read(pack.tableOrEmpty("alert"), usual.alerts()));
  }

  private static AnalysisSettings analysis(TomlTable t, AnalysisSettings defaults) {
    AnalysisSettings settings = defaults;
    OptionalDouble zone = t.decimalIfAny("dead_zone_a", 0, 100);
    if (zone.isPresent()) {
      settings = settings.withDeadZoneMa((int) Math.round(zone.getAsDouble() * 1000));
    }
    OptionalInt balanced = t.integerIfAny("balanced_mv", 1, 500);
    OptionalInt hold = t.integerIfAny("balanced_hold_min", 1, 1440);
    return settings.withBalanced(
        balanced.orElse(defaults.balancedMv()),
        hold.isPresent() ? hold.getAsInt() * 60_000L : defaults.balancedHoldMs());
  }

  private void checkLink(TomlTable pack, LineConfig line) {
    LinkAddress.Parsed parsed = LinkAddress.parse(line.link());
    if (parsed.address().isEmpty()) {
      pack.table("line").problem("link", parsed.problem());
    }
  }

  /** Of packs with mistakes, too. */
  private List<String> packIds() {
    return top.tables("pack").stream()
        .filter(pack -> pack.isText("id"))
        .map(pack -> pack.text("id"))
        .toList();
  }

  private List<Config.Bank> banks() {
    List<Config.Bank> banks = new ArrayList<>();
    for (TomlTable table : top.tables("bank")) {
      String id = table.textLike("id", PackPlan.ID_PATTERN, PackPlan.ID_WORDS);
      int before = table.problems().count();
      List<String> members = table.listOf("packs", packIds());
      if (members.stream().distinct().count() < 2 && table.problems().count() == before) {
        table.problem("packs", "a bank needs two packs or more");
      }
      banks.add(new Config.Bank(id, members));
    }
    return banks;
  }

  private Optional<Config.DeadMan> deadMan(TomlTable t) {
    int every = t.integer("every_s", 10, 86_400, 60);
    char[] secret = SecretFile.read(t, "url_file", beside(t.text("url_file")), who);
    try {
      URI address = new URI(new String(secret));
      if (secret.length > 0
          && !List.of("http", "https").contains(String.valueOf(address.getScheme()))) {
        t.problem("url_file", "holds no address that begins with https:// or http://");
      }
      return Optional.of(new Config.DeadMan(address, every));
    } catch (URISyntaxException noAddress) {
      t.problem("url_file", "holds no web address");
      return Optional.empty();
    }
  }

  private List<List<String>> commands() {
    List<List<String>> commands = new ArrayList<>();
    for (TomlTable table : top.tableOrEmpty("alert").tables("command")) {
      List<String> run = table.texts("run");
      if (run.isEmpty()) {
        table.problem("run", "is missing, allowed: program and arguments, [\"/usr/bin/x\", \"a\"]");
      } else if (isProgram(table, run)) {
        commands.add(run);
      }
    }
    return commands;
  }

  private static boolean isProgram(TomlTable table, List<String> run) {
    try {
      if (Path.of(run.get(0)).isAbsolute()) {
        return true;
      }
    } catch (InvalidPathException noPath) {
      table.problem("run", "holds what no path can hold: " + noPath.getReason());
      return false;
    }
    table.problem("run", "\"" + run.get(0) + "\" is no full path of a program");
    return false;
  }

  private static Optional<Config.Morning> morning(TomlTable table) {
    String at = table.textLike("at", "([01][0-9]|2[0-3]):[0-5][0-9]", "a time such as 06:30");
    List<String> run = table.has("run") ? table.texts("run") : List.of();
    boolean isRight = run.isEmpty() || isProgram(table, run);
    return at.isEmpty() || !isRight
        ? Optional.empty()
        : Optional.of(new Config.Morning(LocalTime.parse(at), run));
  }
}
