package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Any text gives a scenario or problems, and whatever is taken runs and answers. */
class HostileScenarioTest {

  private static final List<String> NUMBERS =
      List.of("0", "-1", "1e-9", "0.01", "1", "64", "99999", "1e300", "inf", "nan", "[1, 2]", "[]");

  private static final List<String> OTHERS =
      List.of("\"\"", "true", "{}", "\"any\"", "2026-01-01T00:00:00Z", "", "\"\\u0000\"");

  @ParameterizedTest
  @ValueSource(
      strings = {"first-night", "two-packs", "cable-faults", "leaking-cell", "sleeping-board"})
  void changedLinesGiveProblemsOrARigThatRuns(String name) {
    String text = Scenarios.text(name).orElseThrow();
    int ran = 0;
    for (int seed = 0; seed < 50; seed++) {
      String changed = change(text, new SplittableRandom(seed));
      Problems problems = new Problems();
      Optional<Scenario> scenario = Scenario.read("x.toml", changed, problems);
      assertThat(scenario.isPresent()).as(changed).isEqualTo(problems.isEmpty());
      if (scenario.isPresent()) {
        assertThatCode(() -> runTwoMinutes(scenario.get())).as(changed).doesNotThrowAnyException();
        ran++;
      }
    }
    assertThat(ran).isGreaterThan(2);
  }

  private static void runTwoMinutes(Scenario scenario) {
    SimulatedRig rig = scenario.rig();
    for (int second = 0; second <= 120; second += 20) {
      rig.stepTo(scenario.startMs() + second * 1000L);
      for (int pack = 0; pack < rig.packs().size(); pack++) {
        rig.measured(pack);
      }
    }
    MonitorEvent.of(scenario);
  }

  private static String change(String text, SplittableRandom random) {
    String[] lines = text.split("\n", -1);
    for (int i = 0; i < 1 + random.nextInt(3); i++) {
      int at = random.nextInt(lines.length);
      String line = lines[at];
      int equals = line.indexOf('=');
      if (equals < 0) {
        lines[at] = random.nextInt(4) == 0 ? "" : line;
      } else {
        List<String> from = random.nextInt(3) == 0 ? OTHERS : NUMBERS;
        lines[at] = line.substring(0, equals + 1) + " " + from.get(random.nextInt(from.size()));
      }
    }
    return String.join("\n", lines);
  }
}
