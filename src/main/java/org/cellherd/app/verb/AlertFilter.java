package org.cellherd.app.verb;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** Which alerts: {@code --rule --cell --priority}. */
final class AlertFilter {

  @Option(
      names = "--rule",
      paramLabel = "RULE",
      description = "Only of this rule, such as cell-high.")
  private @Nullable String rule;

  @Option(names = "--cell", paramLabel = "N", description = "Only of this cell.")
  private @Nullable Integer cell;

  @Option(
      names = "--priority",
      paramLabel = "WORD",
      description = "Only so bad or worse: critical, warning, note.")
  private @Nullable String priority;

  /**
   * Refuses words that are none.
   *
   * @throws Stop with what would be right
   */
  void check() {
    if (rule != null && RuleId.ofWord(rule).isEmpty()) {
      throw new Stop(ExitCode.USAGE, "--rule \"" + rule + "\", allowed: " + words(RuleId.values()));
    }
    if (priority != null && !List.of(words(Priority.values()).split(", ", -1)).contains(priority)) {
      throw new Stop(
          ExitCode.USAGE, "--priority \"" + priority + "\", allowed: " + words(Priority.values()));
    }
  }

  private static String words(Enum<?>[] values) {
    return Arrays.stream(values)
        .map(value -> value.name().toLowerCase(Locale.ROOT).replace('_', '-'))
        .collect(Collectors.joining(", "));
  }

  /** True for an alert that is asked for. */
  boolean takes(Alert alert) {
    return (rule == null || alert.key().rule().word().equals(rule))
        && (cell == null || alert.key().cell() == cell)
        && (priority == null || isAtLeast(alert.priority()));
  }

  private boolean isAtLeast(Priority found) {
    return found.compareTo(Priority.valueOf(String.valueOf(priority).toUpperCase(Locale.ROOT)))
        <= 0;
  }
}
