package org.cellherd.app.verb;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.Supplier;
import picocli.CommandLine;

/** The list of verbs, in the order of the work. */
final class Verbs {

  private static final Map<String, Supplier<Object>> VERBS = new LinkedHashMap<>();

  static {
    VERBS.put("demo", DemoVerb::new);
    VERBS.put("setup", SetupVerb::new);
    VERBS.put("run", RunVerb::new);
    VERBS.put("triage", TriageVerb::new);
    VERBS.put("match", MatchVerb::new);
    VERBS.put("pile", PileVerb::new);
    VERBS.put("setpoints", SetpointsVerb::new);
    VERBS.put("check", CheckVerb::new);
    VERBS.put("read", ReadVerb::new);
    VERBS.put("simulate", SimulateVerb::new);
    VERBS.put("capture", CaptureVerb::new);
    VERBS.put("replay", ReplayVerb::new);
    VERBS.put("import", ImportVerb::new);
    VERBS.put("export", ExportVerb::new);
    VERBS.put("redate", RedateVerb::new);
    VERBS.put("backup", BackupVerb::new);
    VERBS.put("frames", FramesVerb::new);
    VERBS.put("spec", SpecVerb::new);
    VERBS.put("capacity", CapacityVerb::new);
    VERBS.put("compare", CompareVerb::new);
    VERBS.put("balance", BalanceVerb::new);
    VERBS.put("resistance", ResistanceVerb::new);
    VERBS.put("rest", RestVerb::new);
    VERBS.put("energy", EnergyVerb::new);
    VERBS.put("ageing", AgeingVerb::new);
    VERBS.put("alerts", AlertsVerb::new);
    VERBS.put("note", NoteVerb::new);
    VERBS.put("meter", MeterVerb::new);
    VERBS.put("report", ReportVerb::new);
    VERBS.put("label", LabelVerb::new);
    VERBS.put("fleet", FleetVerb::new);
    VERBS.put("gather", GatherVerb::new);
    VERBS.put("help", CommandLine.HelpCommand::new);
  }

  private Verbs() {}

  static void addTo(CommandLine root) {
    VERBS.forEach((name, verb) -> root.addSubcommand(name, verb.get()));
  }

  /**
   * Adds the verb that a command line asks for, or all where it needs them: to read the options of
   * some thirty verbs takes longer than most of them run.
   */
  static void addTo(CommandLine root, String[] args) {
    String first = args.length == 0 ? "" : args[0];
    if (VERBS.containsKey(first) && !first.equals("help")) {
      root.addSubcommand(first, VERBS.get(first).get());
    } else if (!first.equals("--version")) {
      addTo(root);
    }
  }
}
