package org.cellherd.app.verb;

import java.util.List;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.Rules;
import org.cellherd.app.Stop;
import org.cellherd.pack.Worded;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** Which alerts: {@code --rule --cell --priority}. */
final class AlertFilter {

  @Option(
      names = "--rule",
      paramLabel = "RULE",
      description = "Only alerts of this rule, such as cell-high.")
  private @Nullable String rule;

  @Option(names = "--cell", paramLabel = "N", description = "Only alerts of this cell.")
  private @Nullable Integer cell;

  @Option(
      names = "--priority",
      paramLabel = "WORD",
      description = "Only this priority and worse: critical, warning, note.")
  private @Nullable String priority;

  /**
   * Refuses words that are none.
   *
   * @throws Stop with what would be right
   */
  void check() {
    if (rule != null && Rules.find(rule).isEmpty()) {
      throw wrong("--rule", rule, Rules.words());
    }
    if (priority != null && Priority.ofWord(priority).isEmpty()) {
      throw wrong("--priority", priority, Worded.words(Priority.values()));
    }
  }

  /** A word that is none of those known. */
  static Stop wrong(String option, String word, List<String> allowed) {
    return Stop.usage(option + " \"" + word + "\", allowed: " + String.join(", ", allowed));
  }

  /** True for an alert that is asked for. */
  boolean takes(Alert alert) {
    return (rule == null || alert.key().rule().word().equals(rule))
        && (cell == null || alert.key().cell() == cell)
        && (priority == null || alert.priority().compareTo(least()) <= 0);
  }

  private Priority least() {
    return Priority.ofWord(String.valueOf(priority)).orElse(Priority.NOTE);
  }
}
