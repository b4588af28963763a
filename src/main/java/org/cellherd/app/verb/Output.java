package org.cellherd.app.verb;

import java.io.PrintWriter;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** Where results go. */
@Command
class Output {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  /** Standard output. */
  PrintWriter out() {
    return spec.commandLine().getOut();
  }

  /** Standard error, for progress and hints. */
  PrintWriter err() {
    return spec.commandLine().getErr();
  }

  /** Prints a line. */
  void line(String text) {
    out().println(text);
  }
}
