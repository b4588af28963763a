package org.cellherd.report.plot;

import java.util.List;
import java.util.Optional;
import org.cellherd.report.scene.Drawing;

/** What months come to: leads, capacity and resistance over time. */
final class SeasonPlots {

  /** Two leads of one charge differ by about so much through the steps of common boards alone. */
  private static final double LEAST_AH = 0.2;

  private SeasonPlots() {}

  static Optional<Drawing> leads(PlotInput input, Plots.Size size) {
    TrendPlot.Head head =
        new TrendPlot.Head(
            "Lead of each cell at every full charge",
            "Ah",
            2,
            LEAST_AH,
            "Zero is the middle cell; below it a cell falls behind. Lines join full charges,"
                + " bands are what the errors leave open.",
            "No cell is surely off the middle.");
    List<Trend> trends = Trends.leads(input.findings().season());
    return new TrendPlot(input, size, head, trends).scene();
  }

  static Optional<Drawing> capacity(PlotInput input, Plots.Size size) {
    Tracks time = input.tracks();
    List<Trend> trends = Trends.capacities(input.findings().tests(), time.fromMs(), time.toMs());
    TrendPlot.Head head =
        new TrendPlot.Head(
            "Capacity, test by test",
            "Ah",
            1,
            1,
            "Each dot is a discharge from full to empty, each line one rate; bands are what the"
                + " errors leave open.",
            "");
    return new TrendPlot(input, size, head, trends).scene();
  }

  static Optional<Drawing> resistance(PlotInput input, Plots.Size size) {
    SeasonFindings season = input.findings().season();
    TrendPlot.Head head =
        new TrendPlot.Head(
            season.isBroughtTo25c()
                ? "Resistance of each cell, brought to 25 \u00b0C"
                : "Resistance of each cell, at its temperature",
            "m\u03a9",
            2,
            0.1,
            season.isBroughtTo25c()
                ? "By the load's own steps."
                : "By the load's own steps; in the cold it is higher.",
            "No cell stands out.");
    return new TrendPlot(input, size, head, Trends.resistances(season)).scene();
  }
}
