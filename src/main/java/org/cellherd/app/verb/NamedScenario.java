package org.cellherd.app.verb;

import java.nio.file.Path;
import org.cellherd.app.Stop;
import org.cellherd.app.config.FileText;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.cellherd.toml.Suggestion;
import org.jspecify.annotations.Nullable;

/** A scenario as people name it: one that comes with the program, or their own file. */
final class NamedScenario {

  private NamedScenario() {}

  /**
   * Reads it.
   *
   * @param seed instead of the scenario's own; null keeps that
   * @throws Stop that says what would be right
   */
  static Scenario open(String name, @Nullable Long seed) {
    Scenario scenario;
    if (name.endsWith(".toml")) {
      Problems problems = new Problems();
      scenario =
          Scenario.read(name, FileText.read(Path.of(name)), problems)
              .filter(s -> problems.isEmpty())
              .orElseThrow(() -> Stop.usage(problems.toString()));
    } else if (Scenarios.shipped().contains(name)) {
      scenario = Scenarios.open(name);
    } else {
      throw Stop.usage(
          "no scenario \""
              + name
              + "\""
              + Suggestion.phrase(name, Scenarios.shipped())
              + "; there is "
              + String.join(", ", Scenarios.shipped())
              + ", or your own file.toml");
    }
    return seed == null ? scenario : scenario.withSeed(seed);
  }
}
