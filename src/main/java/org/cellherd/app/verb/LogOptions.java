package org.cellherd.app.verb;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.command.CommandCheck;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PackConfig;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Remarks;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Which log and which pack: {@code --db --pack --plan --config}. */
final class LogOptions {

  /** Why a log at a centre is refused by what writes. */
  static final String ONLY_READ = "can only be read; write at its site";

  private int code = ExitCode.DONE;

  @Mixin private ConfigOption config;

  @Option(names = "--db", paramLabel = "FILE", description = "The log; else the one of the config.")
  private @Nullable Path db;

  @Mixin private SiteOptions site;

  @Option(
      names = "--pack",
      paramLabel = "ID",
      description = "Which pack; not needed where there is only one.")
  private @Nullable String pack;

  @Option(
      names = "--plan",
      paramLabel = "FILE",
      description = "A file that holds a [[pack]], where there is no config.")
  private @Nullable Path plan;

  private @Nullable Config loaded;
  private boolean isFetched;

  /** A log at a centre becomes a file of this computer's, for this verb's time. */
  private void fetch() {
    if (isFetched || !site.isGiven()) {
      return;
    }
    isFetched = true;
    if (db != null) {
      throw Stop.usage("--db or --store, not both");
    }
    FetchedLog fetched = site.log(pack).orElseThrow();
    db = fetched.log();
    if (plan == null && !config.isGiven()) {
      plan = fetched.plan();
    }
  }

  private Config config() {
    Config present = loaded;
    if (present == null) {
      present = config.loadToAsk();
      loaded = present;
    }
    return present;
  }

  /** True when any of the options was given. */
  boolean isGiven() {
    return db != null || site.isGiven() || pack != null || plan != null || config.isGiven();
  }

  Optional<MqttSettings> mqtt() {
    fetch();
    return plan == null && config.isThere() ? config().mqtt() : Optional.empty();
  }

  /** What is to be looked at of the programs of the config, if there is one. */
  List<CommandCheck> commands() {
    fetch();
    return plan == null ? CommandCheck.of(config()) : List.of();
  }

  /** True for the named pack, or for any where none is named. */
  boolean isAsked(String id) {
    return pack == null || id.equals(pack);
  }

  /** True for an alert of a pack that the config does not name, or no longer. */
  boolean hasLeft(Alert alert) {
    fetch();
    boolean isKnown = plan == null && config.isThere();
    return isKnown && packs().stream().noneMatch(p -> p.plan().id().equals(alert.key().pack()));
  }

  Path file() {
    fetch();
    return db != null ? db : config().storeFile();
  }

  /** The log's file, or a name that is not there where neither log nor config is named. */
  Path fileIfAny() {
    fetch();
    return db != null || config.isThere() ? file() : Path.of("cellherd.db");
  }

  /** True when a log is named, or lies where it is looked for. */
  boolean isLogThere() {
    fetch();
    return db != null || (plan == null && Files.exists(fileIfAny()));
  }

  /** The config's own file, to which its paths are relative. */
  Path configFile() {
    fetch();
    return plan != null ? plan : config().file();
  }

  StoreSettings storeSettings() {
    fetch();
    return plan == null && config.isThere() ? config().store() : StoreSettings.DEFAULT;
  }

  ZoneId zone() {
    fetch();
    if (plan != null) {
      return ConfigFiles.loadPlans(plan).zone().orElseGet(ZoneId::systemDefault);
    }
    return config.isThere() ? config().zone() : ZoneId.systemDefault();
  }

  List<PackConfig> packs() {
    fetch();
    if (plan != null) {
      return ConfigFiles.loadPlans(plan).packs();
    }
    if (db != null && !config.isThere()) {
      throw Stop.usage(
          "a log does not say what was built: name the plan of its pack by --plan FILE, or a config"
              + " by --config FILE");
    }
    return config().packs();
  }

  PackConfig pack() {
    List<PackConfig> packs = packs();
    if (pack != null) {
      return PackConfig.among(packs, pack);
    }
    if (packs.size() > 1) {
      List<String> ids = packs.stream().map(p -> p.plan().id()).toList();
      throw Stop.usage("which pack? --pack " + String.join(" or ", ids));
    }
    return packs.get(0);
  }

  /** Opens the log for reading, beside a daemon that may be writing it. */
  LogFile openForReading() {
    return open(OpenMode.READER);
  }

  /**
   * The same for a question about a planned pack.
   *
   * @throws Stop with exit code 2 when the log is of other packs: its answer would be that nothing
   *     ever happened
   */
  LogFile openForReadingOfPack() throws StorageFailure {
    LogFile file = openForReading();
    List<String> planned = packs().stream().map(p -> p.plan().id()).toList();
    List<String> held = file.statistics().packs();
    if (!held.isEmpty() && planned.stream().noneMatch(held::contains)) {
      file.close();
      throw Stop.usage(
          "log %s holds nothing of pack %s, but %s: does the plan belong to this log?"
              .formatted(file(), String.join(" or ", planned), String.join(", ", held)));
    }
    return file;
  }

  /** Opens the log for writing; refused while a daemon has it. */
  LogFile openForWriting() {
    refuseCentre(ONLY_READ);
    LogFile file = open(OpenMode.WRITER);
    file.reports().forEach(done -> System.err.println("log " + file() + ": " + done));
    return file;
  }

  /** Opens the log for what people add, beside a daemon that may be writing it. */
  Remarks openForRemarks() throws StorageFailure {
    refuseCentre(ONLY_READ);
    return Remarks.open(file(), storeSettings());
  }

  /** Refuses a log that is read from a centre, as a copy that goes with this program. */
  void refuseCentre(String why) {
    if (site.isGiven()) {
      throw Stop.usage("a log at a centre " + why);
    }
  }

  private LogFile open(OpenMode mode) {
    try {
      return LogFile.open(file(), mode, storeSettings());
    } catch (StorageFailure failure) {
      throw storeStop(failure);
    }
  }

  /** Names what an open log could not give, for {@link #code}. */
  void notice(LogFile file) {
    code = Math.max(code, answered(file));
  }

  /** The exit code after all that was noticed. */
  int code() {
    return code;
  }

  /** The exit code of a verb that answered from a log: names what the log could not give. */
  static int answered(LogFile file) {
    try {
      List<String> shortfalls = file.shortfalls();
      shortfalls.forEach(what -> System.err.println("log " + file.path() + ": " + what));
      return shortfalls.isEmpty() ? ExitCode.DONE : ExitCode.STORE;
    } catch (StorageFailure failure) {
      throw storeStop(failure);
    }
  }

  /** A new log takes the place of none, nor of what is left beside one that is gone. */
  static void refuseTaken(Path log) {
    for (String end : List.of("", "-wal", "-tail")) {
      WholeFile.refuseTaken(log.resolveSibling(log.getFileName() + end));
    }
  }

  /** A failure of the log as the end of a verb. */
  static Stop storeStop(StorageFailure failure) {
    boolean isDamaged = failure.kind() == StorageFailure.Kind.DAMAGED;
    String step =
        isDamaged ? "; if this is the log, start or restart cellherd run, which repairs it" : "";
    return new Stop(ExitCode.STORE, "log " + failure.getMessage() + step);
  }
}
