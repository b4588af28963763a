package org.cellherd.app.config;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.app.Stop;
import org.cellherd.pack.PackPlan;
import org.cellherd.toml.Problems;
import org.cellherd.toml.TomlDocument;
import org.cellherd.toml.TomlTable;

/** Finds and loads the user's files; every problem of a file is told at once. */
public final class ConfigFiles {

  private static final List<Path> DEFAULTS =
      List.of(Path.of("cellherd.toml"), Path.of("/etc/cellherd/cellherd.toml"));

  private ConfigFiles() {}

  /** The file that is used when none is named, if there is one. */
  public static Optional<Path> find() {
    return DEFAULTS.stream().filter(Files::exists).findFirst();
  }

  /**
   * Loads a config.
   *
   * @throws Stop with exit code 2 and all problems
   */
  public static Config load(Optional<Path> named) {
    return load(named, SecretFile.Reader.RUNS);
  }

  /**
   * The same for somebody who only asks: passwords and tokens of another user are left out.
   *
   * @throws Stop with exit code 2 and all problems
   */
  public static Config loadToAsk(Optional<Path> named) {
    return load(named, SecretFile.Reader.ASKS);
  }

  private static Config load(Optional<Path> named, SecretFile.Reader who) {
    Path file =
        named
            .or(ConfigFiles::find)
            .orElseThrow(
                () ->
                    Stop.usage(
                        "no config: write ./cellherd.toml (or /etc/cellherd/cellherd.toml),"
                            + " or name one with --config FILE; \"cellherd setup\" helps"));
    return parse(file, FileText.read(file), who);
  }

  /** Reads the text of a config; see {@link #load}. */
  static Config parse(Path file, String text) {
    return parse(file, text, SecretFile.Reader.RUNS);
  }

  private static Config parse(Path file, String text, SecretFile.Reader who) {
    Problems problems = new Problems();
    Optional<Config> config =
        TomlDocument.parse(file.toString(), text, problems)
            .map(
                table -> {
                  Config read = new ConfigReader(file, table, who).read();
                  table.finish();
                  if (!problems.isEmpty()) {
                    // Alone it stops those only who need the board.
                    tellUnknownSpecs(table, new Decoders(file));
                  }
                  return read;
                });
    return config.filter(c -> problems.isEmpty()).orElseThrow(() -> wrong(problems));
  }

  private static void tellUnknownSpecs(TomlTable table, Decoders known) {
    for (TomlTable pack : table.tables("pack")) {
      pack.tableIfAny("line")
          .filter(line -> line.isText("spec"))
          .ifPresent(
              line ->
                  known.problem(line.text("spec")).ifPresent(told -> line.problem("spec", told)));
    }
  }

  /**
   * A file that need hold nothing but {@code [[pack]]} tables.
   *
   * @throws Stop with exit code 2 and all problems
   */
  public static PlanFile loadPlans(Path file) {
    Problems problems = new Problems();
    List<PackConfig> packs = new ArrayList<>();
    Optional<TomlTable> top = TomlDocument.parse(file.toString(), FileText.read(file), problems);
    Optional<ZoneId> zone = top.flatMap(ZoneReader::read);
    top.ifPresent(
        table -> {
          for (TomlTable pack : table.tables("pack")) {
            Optional<PackPlan> plan = PlanReader.read(pack);
            PackConfig usual =
                PackConfig.of(
                    plan.orElse(ConfigReader.UNREADABLE), zone.orElseGet(ZoneId::systemDefault));
            packs.add(ConfigReader.overlaid(pack, usual));
            pack.tableIfAny("line").ifPresent(LineConfig::read);
          }
          table.finish();
          if (packs.isEmpty() && problems.isEmpty()) {
            table.problem("pack", "there is no [[pack]]");
          }
        });
    if (!problems.isEmpty()) {
      boolean isConfig =
          top.filter(t -> t.has("mqtt") || t.has("site") || t.has("page")).isPresent();
      throw Stop.usage(
          problems + (isConfig ? "\nThis looks like a config: name it with --config." : ""));
    }
    return new PlanFile(packs, zone);
  }

  private static Stop wrong(Problems problems) {
    return Stop.usage(problems.toString());
  }
}
