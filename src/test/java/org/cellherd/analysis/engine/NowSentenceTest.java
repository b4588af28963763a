package org.cellherd.analysis.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.FindingName;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What people are told of the moment, over simulated nights. */
class NowSentenceTest {
  private static final Pattern TO_BALANCE =
      Pattern.compile("(about|at least|less than) [^;]* to balance(, [0-9.]+ to [0-9.]*[0-9])?");
  private static final Pattern AT_TOP = Pattern.compile("at the top|near the top|stop the charge");

  /** A week brings the same again. */
  private static final double THREE_DAYS_H = 72;

  private static List<String> hourly(String scenario, int hours) {
    List<String> said = new ArrayList<>();
    Scenario night = TestScenarios.polledEvery(5, scenario);
    SimulatedRun run = new SimulatedRun(night, false);
    run.run(
        3_600_000,
        r -> {
          said.add(NowSentence.of(r.analysis()));
          if (said.size() == hours) {
            r.stop();
          }
        });
    return said;
  }

  @Test
  void aBouncingNightIsNotCalledAPause() {
    assertThat(hourly("bouncing-night", 5))
        .last()
        .asString()
        .matches(
            "Cell 2 makes the board stop the charge about every \\d+ (s|min);"
                + " it is at least \\d\\.\\d Ah ahead; .* to balance.*\\.");
  }

  @Test
  void aFirstNightGoesFromChargingOverTheTopToBalanced() {
    List<String> said = hourly("first-night", 12);

    assertThat(said.get(0)).matches("Charging at \\d+\\.\\d A, cells within \\d+ mV\\.");
    assertThat(said).anyMatch(s -> s.matches("Held at the top, cell 3 highest .* h to balance.*"));
    assertThat(said)
        .last()
        .asString()
        .matches(
            "Balanced for \\d+ (min|h) and held at the top, cells within \\d+ mV;"
                + " cell 3 was 0\\.\\d\\d Ah ahead \\(.*\\)\\.");
  }

  @Test
  void anEmptyCellIsNamedWhileThePackRests() {
    assertThat(hourly("low-capacity", 13))
        .last()
        .asString()
        .matches("Resting, cell 2 lowest at [23]\\.\\d{3} V, \\d{2,3} mV below the median\\.");
  }

  /** A cell that may be nothing ahead is not held up beside the one that is highest. */
  @Test
  void onlyWhoIsSurelyAheadIsNamedBesideTheHighest() {
    assertThat(hourly("first-night-16s", 10))
        .noneMatch(said -> said.matches(".*highest at [0-9.]+ V; cell \\d+ is up to .*"));
  }

  /** How long it takes is known to the sentence of the moment as soon as to `balance`. */
  @ParameterizedTest
  @ValueSource(strings = {"first-night", "healthy-week", "bouncing-night"})
  void theTimeToGoIsSaidNowAsInBalance(String scenario) {
    int[] both = {0};
    new SimulatedRun(TestScenarios.polledEvery(5, scenario), false)
        .run(
            60_000,
            run -> {
              if (run.hours() > THREE_DAYS_H) {
                run.stop();
              }
              Matcher toBalance =
                  TO_BALANCE.matcher(
                      run.standing(FindingName.BALANCE).map(f -> f.sentence()).orElse(""));
              String now = NowSentence.of(run.analysis());
              if (toBalance.find() && AT_TOP.matcher(now).find()) {
                both[0]++;
                assertThat(now).contains(toBalance.group());
              }
            });
    assertThat(both[0]).isPositive();
  }
}
