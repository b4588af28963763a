package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.util.List;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code --json}, and where results go. */
public final class Output {

  @Option(names = "--json", description = "Print the result as JSON.")
  private boolean json;

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  /** True when JSON is wanted. */
  boolean isJson() {
    return json;
  }

  /** Standard output. */
  PrintWriter out() {
    return spec.commandLine().getOut();
  }

  /** Standard error, for progress and hints. */
  PrintWriter err() {
    return spec.commandLine().getErr();
  }

  /** Prints one object. */
  void json(Facts facts) {
    out().println(JsonText.pretty(facts));
  }

  /** Prints a list of objects. */
  void json(List<Facts> list) {
    out().println(JsonText.pretty(list));
  }

  /** Prints a line. */
  void line(String text) {
    out().println(text);
  }
}
