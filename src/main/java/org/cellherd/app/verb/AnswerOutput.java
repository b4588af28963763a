package org.cellherd.app.verb;

import java.util.List;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import picocli.CommandLine.Option;

/** {@code --json}: of a verb that answers a question, and then always answers in JSON. */
final class AnswerOutput extends Output {

  @Option(names = "--json", description = "Print the result as JSON.")
  private boolean json;

  /** True when JSON is wanted. */
  boolean isJson() {
    return json;
  }

  void json(Facts facts) {
    out().println(JsonText.pretty(facts));
  }

  /** Prints one object in a line of its own. */
  void jsonLine(Facts facts) {
    out().println(JsonText.of(facts));
  }

  void json(List<Facts> list) {
    out().println(JsonText.pretty(list));
  }
}
