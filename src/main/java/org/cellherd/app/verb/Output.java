package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.time.ZoneId;
import java.util.stream.Stream;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.TextTable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** Where results go. */
@Command
class Output {

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  PrintWriter out() {
    return spec.commandLine().getOut();
  }

  /** Standard error, for progress and hints. */
  PrintWriter err() {
    return spec.commandLine().getErr();
  }

  /** Prints a line; on a terminal it is broken between words, behind a pipe never. */
  void line(String text) {
    if (spec.root().userObject() instanceof RootCommand root && root.isOnTerminal()) {
      Stream.of(text.split("\n", -1))
          .flatMap(line -> TextTable.folded(line, TextTable.TERMINAL).stream())
          .forEach(out()::println);
    } else {
      out().println(text);
    }
  }

  /** Says whose clock the times above are by. */
  void zone(ZoneId zone) {
    line("Times are in " + SpokenTime.clockOf(zone) + ".");
  }
}
