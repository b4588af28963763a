package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Shape;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Drawn seasons: what a report of months shows of who falls behind, and of what was not heard. */
class SeasonReportTest {

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void whoFallsBehindIsSaidFirstAndAloneHasColourAndName(long seed) {
    DrawnSeason season = new DrawnSeason(seed, true);
    ReportInput input = season.input();

    Drawing leads = scene(Plots.LEADS, input);

    assertThat(new Verdict(input).sentences().get(0))
        .as("seed %d", seed)
        .startsWith("Cell " + season.leaking() + " falls behind");
    assertThat(bold(leads)).as("seed %d", seed).containsExactly(Integer.toString(season.leaking()));
  }

  /** Without a full charge no lead is measured; which cell went away is known all the same. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void whoEndsOutsideTheBandIsSaidFirstWithoutAFullCharge(long seed) {
    Random random = new Random(seed);
    int cell = 1 + random.nextInt(16);
    int endMv = (random.nextBoolean() ? 1 : -1) * (seed % 2 == 0 ? 12 + random.nextInt(90) : 7);

    ReportInput input = new DrawnSeason(seed, false).withoutFullCharge(cell, endMv);

    assertThat(new Verdict(input).sentences().get(0))
        .as("seed %d", seed)
        .startsWith(seed % 2 == 0 ? "Cell " + cell + " ended at " : "On ");
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void aSoundPackHasNoNamedCell(long seed) {
    ReportInput input = new DrawnSeason(seed, false).input();

    Drawing leads = scene(Plots.LEADS, input);

    assertThat(bold(leads)).as("seed %d", seed).isEmpty();
    assertThat(leads.description()).contains("No cell is surely off the middle.");
    assertThat(new Verdict(input).sentences().get(0)).doesNotContain("falls behind");
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void daysHeardInPartArePaleAndCounted(long seed) {
    DrawnSeason season = new DrawnSeason(seed, true);
    ReportInput input = season.input();

    for (Plots plot : List.of(Plots.ENERGY, Plots.RANGE)) {
      Drawing scene = scene(plot, input);
      long pale = scene.shapes().stream().filter(s -> s instanceof Shape.Area).count();
      assertThat(pale)
          .as("%s, seed %d", plot, seed)
          .isEqualTo(season.partly() * (plot == Plots.ENERGY ? 2L : 1L));
      assertThat(scene.description())
          .contains(season.partly() == 1 ? "1 day with" : season.partly() + " days with");
    }
    assertThat(new Verdict(input).sentences().get(0))
        .contains(
            String.format(
                Locale.ROOT, "On %d days (%d of them heard", season.days(), season.partly()));
  }

  private static Drawing scene(Plots plot, ReportInput input) {
    return plot.scene(input.plots(), plot.wide()).orElseThrow();
  }

  /** Names of lines: what stands in bold beside the unit. */
  private static List<String> bold(Drawing scene) {
    return scene.shapes().stream()
        .filter(s -> s instanceof Shape.Words w && w.letter().bold())
        .map(s -> ((Shape.Words) s).text())
        .filter(text -> !text.equals("Ah"))
        .toList();
  }
}
