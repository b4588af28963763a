package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Function;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Whether the first rows of a file can be of the planned pack and in the units of its columns. Half
 * of the rows must say so: a single false value is no reason to refuse a log.
 */
final class ImportFit {

  /** No cell of any chemistry comes near 10 V; in mV the emptiest reads 1000 and more. */
  private static final double HIGHEST_CELL_V = 10;

  /** The strongest cells bear some 50 C for seconds; the smallest current in mA is worth 1000. */
  private static final double GREATEST_C = 100;

  /** Cells burn before; a room in kelvin reads 290, in tenths of a degree 200. */
  private static final double HOTTEST_C = 150;

  /** Full is 100 %; in tenths of a percent a fifth of a charge reads 200. */
  private static final double MOST_PCT = 150;

  private final List<Reading> rows;
  private final PackPlan plan;
  private final List<String> problems = new ArrayList<>();

  private ImportFit(List<Reading> rows, PackPlan plan) {
    this.rows = rows;
    this.plan = plan;
  }

  /** What contradicts, each with what would be right; empty when nothing does. */
  static List<String> problems(List<Reading> rows, PackPlan plan) {
    ImportFit fit = new ImportFit(rows, plan);
    fit.units();
    fit.cells();
    return fit.problems;
  }

  private void units() {
    tooLarge("cell_1_v", HIGHEST_CELL_V, "V", "millivolts", r -> cell(r) / 10_000);
    double mostV = HIGHEST_CELL_V * plan.series();
    tooLarge("pack_v", mostV, "V", "millivolts", r -> r.packMv().orElse(0) / 1000.0);
    double mostA = GREATEST_C * plan.ratedMah() / 1000.0;
    tooLarge("current_a", mostA, "A", "milliamperes", r -> r.currentMa().orElse(0) / 1000.0);
    String kelvin = "kelvin, or tenths of a degree";
    tooLarge("temp_1_c", HOTTEST_C, "degrees Celsius", kelvin, ImportFit::temperature);
    String tenths = "tenths of a percent";
    tooLarge("soc_pct", MOST_PCT, "%", tenths, r -> r.socTenthPct().orElse(0) / 10.0);
  }

  private static double cell(Reading r) {
    return r.cells().medianTenthMv().orElse(0);
  }

  private static double temperature(Reading r) {
    return r.temperatures().has(1) ? r.temperatures().tenthC(1) / 10.0 : 0;
  }

  private void tooLarge(
      String column, double most, String unit, String likely, Function<Reading, Double> value) {
    List<Double> sizes =
        rows.stream().map(value).map(Math::abs).filter(v -> v > 0).sorted().toList();
    if (sizes.isEmpty() || sizes.get(sizes.size() / 2) <= most) {
      return;
    }
    double middle = sizes.get(sizes.size() / 2);
    problems.add(
        String.format(
            Locale.ROOT,
            "%s reads %.4g %s in most rows, more than %.4g: are these %s?",
            column,
            middle,
            unit,
            most,
            likely));
  }

  private void cells() {
    List<Integer> counts =
        rows.stream().map(r -> r.cells().count()).filter(n -> n > 0).sorted().toList();
    int usual = counts.isEmpty() ? 0 : counts.get(counts.size() / 2);
    if (usual > plan.series()) {
      problems.add(
          "most rows hold "
              + usual
              + " cells, pack "
              + plan.id()
              + " has "
              + plan.series()
              + " in series: is it the right pack?");
    }
  }

  /** In words, when the rows of a file hold fewer cells than planned. */
  static Optional<String> fewer(List<Reading> rows, PackPlan plan) {
    OptionalLong most = rows.stream().mapToLong(r -> r.cells().count()).max();
    return most.isPresent() && most.getAsLong() > 0 && most.getAsLong() < plan.series()
        ? Optional.of(
            "the first rows hold "
                + most.getAsLong()
                + " of the "
                + plan.series()
                + " cells in series; rules for single cells need all of them")
        : Optional.empty();
  }
}
