package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.io.StringWriter;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.pack.Cautions;

/** Runs verbs as if they were typed, for the demos. The cautions were said at their start. */
final class TypedVerb {

  private final PrintWriter out;

  TypedVerb(PrintWriter out) {
    this.out = out;
  }

  void say(String what) {
    out.println();
    out.println("== " + what);
    out.flush();
  }

  /** Prints the command and what it answers; whatever fails ends the demo. */
  void play(String... words) {
    out.println("$ cellherd " + String.join(" ", words));
    StringWriter said = new StringWriter();
    PrintWriter both = new PrintWriter(said, true);
    int code = RootCommand.commandLine(words).setOut(both).setErr(both).execute(words);
    said.toString()
        .lines()
        .filter(line -> !Cautions.LIST.contains(line) && !line.equals(Cautions.LINE))
        .forEach(line -> out.println("  " + line));
    out.flush();
    if (code != ExitCode.DONE) {
      throw new Stop(code, "the demo stopped at: " + words[0]);
    }
  }
}
