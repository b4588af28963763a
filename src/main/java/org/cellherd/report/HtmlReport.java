package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Cautions;
import org.cellherd.report.plot.PlotInput;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.Scene;
import org.cellherd.report.scene.SvgWriter;

/**
 * A report as one HTML file that fetches nothing: verdict, plots, tables, and how each number was
 * got. Light and dark, on a phone and on paper, by keyboard and by screen reader.
 */
public final class HtmlReport {

  private final ReportInput input;
  private final StringBuilder out = new StringBuilder(65_536);

  private HtmlReport(ReportInput input) {
    this.input = input;
  }

  /** The file's text, UTF-8. */
  public static String of(ReportInput input) {
    return HtmlPage.of(Titles.of(input), new HtmlReport(input).body());
  }

  private String body() {
    out.append("<a class=\"skip\" href=\"#alerts\">Skip the plots</a>\n<header><h1>")
        .append(Markup.text(Titles.of(input)))
        .append("</h1>\n<p class=\"soft\">")
        .append(Markup.text(Titles.pack(input)))
        .append("</p></header>\n<main>\n<p class=\"verdict\">")
        .append(Markup.text(String.join(" ", new Verdict(input).sentences())))
        .append("</p>\n<p class=\"soft\">" + new Verdict(input).heard() + "</p>\n");
    plots();
    HtmlTables tables = new HtmlTables(input);
    out.append(tables.cells());
    out.append(tables.alerts());
    findings(tables);
    out.append(tables.remarks());
    out.append(tables.gaps());
    cautions();
    out.append("</main>\n<footer class=\"soft\"><p>Made ")
        .append(Markup.text(input.made().minute(input.made().atMs())))
        .append(" (" + Markup.text(input.made().zone().getId()) + ") by ")
        .append(Markup.text(input.made().program()))
        .append(". Times are local. Cells are counted from 1 at the negative end.</p></footer>\n");
    return out.toString();
  }

  private void plots() {
    PlotInput plots = input.plots();
    for (Plots plot : Plots.values()) {
      Optional<Scene> wide = plot.scene(plots, plot.wide());
      Optional<Scene> narrow = plot.scene(plots, plot.narrow());
      if (wide.isPresent() && narrow.isPresent()) {
        figure(plot.word(), wide.get(), narrow.get());
      }
    }
  }

  private void figure(String id, Scene wide, Scene narrow) {
    out.append("<h2 id=\"" + id + "\">" + Markup.text(wide.title()) + "</h2>\n<figure>")
        .append("<div class=\"wide\">" + SvgWriter.inline(wide, id + "-w") + "</div>")
        .append("<div class=\"narrow\">" + SvgWriter.inline(narrow, id + "-n") + "</div>")
        .append("<figcaption>" + Markup.text(wide.description()) + "</figcaption></figure>\n");
  }

  private void findings(HtmlTables tables) {
    for (FindingName name : FindingName.values()) {
      List<Finding> of = new ArrayList<>();
      for (Finding finding : input.evidence().findings()) {
        if (finding.name() == name) {
          of.add(finding);
        }
      }
      if (!of.isEmpty()) {
        out.append("<h2 id=\"" + name.word() + "\">" + HowKnown.title(name) + "</h2>\n");
        out.append(tables.findings(of));
        out.append("<p class=\"soft\">How this was got: " + Markup.text(HowKnown.of(name)))
            .append("</p>\n");
      }
    }
  }

  private void cautions() {
    out.append("<section class=\"caution\" aria-label=\"Cautions\"><strong>Cautions</strong><ul>");
    Cautions.LIST.forEach(line -> out.append("<li>" + Markup.text(line) + "</li>"));
    out.append("</ul></section>\n");
  }
}
