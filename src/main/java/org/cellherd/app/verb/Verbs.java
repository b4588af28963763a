package org.cellherd.app.verb;

import picocli.CommandLine;

/** The list of verbs, in the order of the work. */
final class Verbs {

  private Verbs() {}

  static void addTo(CommandLine root) {
    root.addSubcommand(new CommandLine.HelpCommand());
  }
}
