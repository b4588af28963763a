package org.cellherd.report;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.discharge.ComparisonWords;
import org.cellherd.analysis.discharge.PackComparison;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Cautions;
import org.cellherd.report.plot.DischargeLines;
import org.cellherd.report.plot.DischargePlot;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.SvgWriter;

/** Packs compared, as one HTML file that fetches nothing. */
public final class ComparisonHtml {

  private static final String TITLE = "Capacity tests compared";

  private ComparisonHtml() {}

  /** The file's text, UTF-8; lines in the order of the comparison's tests. */
  public static String of(PackComparison all, DischargeLines lines, Made made) {
    StringBuilder out = new StringBuilder("<header><h1>" + TITLE + "</h1></header><main>");
    ComparisonWords.together(all).forEach(line -> out.append(paragraph(line)));
    for (DischargePlot.Over over : DischargePlot.Over.values()) {
      figure(out, lines, over);
    }
    int at = 0;
    for (PackComparison.Pack pack : all.packs()) {
      out.append("<h2>" + Markup.text(pack.name()))
          .append(pack.isDonor() ? ", donor" : "")
          .append("</h2><ul>");
      for (TestedDischarge test : pack.tests()) {
        DischargeLines.Line line = lines.list().get(at++);
        String words = ComparisonWords.test(test, pack.drop());
        out.append("<li><b>" + line.letter() + "</b> " + Markup.text(line.name() + ": " + words))
            .append("</li>");
      }
      out.append("</ul>");
      ComparisonWords.pack(pack).forEach(line -> out.append(paragraph(line)));
    }
    out.append("<section class=\"caution\"><h2>Cautions</h2><ul>");
    Cautions.LIST.forEach(line -> out.append("<li>" + Markup.text(line) + "</li>"));
    out.append("</ul></section></main><footer class=\"soft\"><p>Made ")
        .append(Markup.text(made.minute(made.atMs()) + " by " + made.program()))
        .append(".</p></footer>");
    return HtmlPage.of(TITLE, out.toString());
  }

  private static String paragraph(String line) {
    return "<p>" + Markup.text(line) + "</p>";
  }

  private static void figure(StringBuilder out, DischargeLines lines, DischargePlot.Over over) {
    Optional<Drawing> wide = DischargePlot.scene(lines, over, Plots.DISCHARGE.wide());
    Optional<Drawing> narrow = DischargePlot.scene(lines, over, Plots.DISCHARGE.narrow());
    if (wide.isEmpty() || narrow.isEmpty()) {
      return;
    }
    String id = over.name().toLowerCase(Locale.ROOT);
    out.append("<h2>" + Markup.text(wide.get().title()) + "</h2><figure>");
    for (String each : List.of("wide", "narrow")) {
      Drawing scene = each.equals("wide") ? wide.get() : narrow.get();
      out.append("<div class=\"" + each + "\">" + SvgWriter.inline(scene, id + "-" + each))
          .append("</div>");
    }
    out.append("</figure>");
  }
}
