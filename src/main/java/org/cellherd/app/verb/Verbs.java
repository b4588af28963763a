package org.cellherd.app.verb;

import picocli.CommandLine;

/** The list of verbs, in the order of the work. */
final class Verbs {

  private Verbs() {}

  static void addTo(CommandLine root) {
    root.addSubcommand(new DemoVerb());
    root.addSubcommand(new SetupVerb());
    root.addSubcommand(new RunVerb());
    root.addSubcommand(new TriageVerb());
    root.addSubcommand(new MatchVerb());
    root.addSubcommand(new PileVerb());
    root.addSubcommand(new SetpointsVerb());
    root.addSubcommand(new CheckVerb());
    root.addSubcommand(new ReadVerb());
    root.addSubcommand(new SimulateVerb());
    root.addSubcommand(new CaptureVerb());
    root.addSubcommand(new ReplayVerb());
    root.addSubcommand(new ImportVerb());
    root.addSubcommand(new ExportVerb());
    root.addSubcommand(new RedateVerb());
    root.addSubcommand(new BackupVerb());
    root.addSubcommand(new FramesVerb());
    root.addSubcommand(new SpecVerb());
    root.addSubcommand(new CapacityVerb());
    root.addSubcommand(new CompareVerb());
    root.addSubcommand(new BalanceVerb());
    root.addSubcommand(new ResistanceVerb());
    root.addSubcommand(new RestVerb());
    root.addSubcommand(new EnergyVerb());
    root.addSubcommand(new AgeingVerb());
    root.addSubcommand(new AlertsVerb());
    root.addSubcommand(new NoteVerb());
    root.addSubcommand(new MeterVerb());
    root.addSubcommand(new ReportVerb());
    root.addSubcommand(new LabelVerb());
    root.addSubcommand(new CommandLine.HelpCommand());
  }
}
