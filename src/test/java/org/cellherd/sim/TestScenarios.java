package org.cellherd.sim;

import org.cellherd.toml.Problems;

/** Small scenarios for tests: a pack of four cells with a perfect board, and what a test adds. */
public final class TestScenarios {

  /** Four cells of 100 Ah at 60 %, without any chance. */
  public static final String PACK =
      """
      title = "test"
      start = 2026-01-10T00:00:00Z
      hours = 24
      [[pack]]
      id = "pack"
      chemistry = "lfp"
      series = 4
      rated_ah = 100
      decoder = "sorrel-16"
      [pack.cells]
      soc_pct = %s
      """;

  /** A board that measures without error. */
  public static final String PERFECT =
      """
      [pack.board]
      cell_step_mv = 0.1
      cell_noise_mv = 0
      cell_offset_mv = 0
      pack_step_mv = 1
      current_step_ma = 1
      current_noise_ma = 0
      zero_below_ma = 0
      temperature_step_c = 0.1
      temperature_noise_c = 0
      own_ma = 0
      """;

  private TestScenarios() {}

  /** A scenario of the pack at a state of charge, the perfect board, and more lines. */
  public static Scenario perfect(double socPct, String more) {
    return read(PACK.formatted(socPct) + PERFECT + more);
  }

  /** A shipped scenario whose boards are asked so often at most: it is heard the sooner. */
  public static Scenario polledEvery(int seconds, String name) {
    Scenario shipped = Scenarios.open(name);
    if (shipped.pollMs() >= seconds * 1000L) {
      return shipped;
    }
    return read(
        Scenarios.text(name)
            .orElseThrow()
            .replaceFirst("(?m)^poll_s = .*\\n", "")
            .replaceFirst("(?m)^hours", "poll_s = " + seconds + "\nhours"));
  }

  /** A scenario of a whole text. */
  public static Scenario read(String text) {
    Problems problems = new Problems();
    return Scenario.read("test.toml", text, problems)
        .orElseThrow(() -> new IllegalArgumentException(problems.toString()));
  }
}
