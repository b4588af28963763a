package org.cellherd.page;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.plot.DischargeLines;
import org.cellherd.report.plot.DischargePlot;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.SvgWriter;

/** A pack's capacity tests as HTML with their curves, for a desk and for a phone. */
public final class TestsView {

  private static final double MV_PER_V = 1000;

  private TestsView() {}

  /** The inside of the page. */
  public static String of(PackPlan plan, List<TestedDischarge> tests, ZoneId zone) {
    String head = "<h1>Capacity tests of " + Markup.text(plan.name()) + "</h1>";
    double cutOff = plan.limits().cutOffLowMv() / MV_PER_V;
    DischargeLines lines = DischargeLines.ofPack(tests, cutOff, zone);
    Optional<String> wide = figure(lines, Plots.DISCHARGE.wide(), "wide");
    Optional<String> narrow = figure(lines, Plots.DISCHARGE.narrow(), "narrow");
    if (wide.isEmpty() || narrow.isEmpty()) {
      return head
          + "<p>No full discharge is in the log yet. Charge until full, then discharge to the"
          + " cut-off.</p>";
    }
    head += "<p class=\"headline\">" + Markup.text(lines.sentence()) + "</p>";
    return head + "<figure class=\"discharge\">" + wide.get() + narrow.get() + "</figure>";
  }

  private static Optional<String> figure(DischargeLines lines, Plots.Size size, String kind) {
    Optional<Drawing> scene = DischargePlot.scene(lines, DischargePlot.Over.CHARGE, size);
    return scene.map(
        s -> "<div class=\"" + kind + "\">" + SvgWriter.inline(s, "tests-" + kind) + "</div>");
  }
}
