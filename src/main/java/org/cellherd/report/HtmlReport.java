package org.cellherd.report;

import java.util.Optional;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.plot.PlotInput;
import org.cellherd.report.plot.Plots;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Markup;
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
    Verdict verdict = new Verdict(input);
    out.append("<a class=\"skip\" href=\"#alerts\">Skip the plots</a>\n<header><h1>")
        .append(Markup.text(Titles.of(input)))
        .append("</h1>\n<p class=\"soft\">")
        .append(Markup.text(Titles.pack(input)))
        .append(
            "</p></header>\n<main>\n<p class=\"verdict" + (verdict.isBad() ? " bad" : "") + "\">")
        .append(Markup.text(Markup.tied(String.join(" ", verdict.sentences()))))
        .append("</p>\n<p class=\"soft\">" + verdict.heard() + "</p>\n");
    HtmlTables tables = new HtmlTables(input);
    FactsHtml facts = new FactsHtml(input.made());
    out.append(contents()).append(marks());
    plots();
    out.append(tables.cells())
        .append(new AlertsHtml(input, facts).html())
        .append(new FindingsHtml(input, facts).html())
        .append(tables.remarks())
        .append(tables.gaps());
    cautions();
    out.append("</main>\n<footer class=\"soft\"><p>Made ")
        .append(Markup.text(input.made().minute(input.made().atMs())))
        .append(" (" + Markup.text(SpokenTime.clockOf(input.made().zone())) + ") by ")
        .append(Markup.text(input.made().program()))
        .append(". Times are local. Cells are counted from 1 at the negative end.</p></footer>\n");
    return out.toString();
  }

  private String contents() {
    StringBuilder links = new StringBuilder("<nav aria-label=\"In this report\">");
    links.append(link("alerts", "Alerts: " + input.evidence().countedAlerts()));
    for (FindingName name : FindingsHtml.kinds(input)) {
      links.append(link("found-" + name.word(), name.title()));
    }
    if (!input.evidence().remarks().isEmpty()) {
      links.append(link("notes", "Notes: " + input.evidence().remarks().size()));
    }
    return links.append(link("heard", "What was heard")).append("</nav>\n").toString();
  }

  /** What the marks in the plots mean, where there are any. */
  private String marks() {
    boolean hasAlerts = !input.evidence().alerts().isEmpty();
    boolean hasNotes = !input.evidence().remarks().isEmpty();
    if (!hasAlerts && !hasNotes) {
      return "";
    }
    return "<p class=\"soft\">In the plots "
        + (hasAlerts ? "numbers mark <a href=\"#alerts\">alerts</a>" : "")
        + (hasAlerts && hasNotes ? " and " : "")
        + (hasNotes ? "letters mark <a href=\"#notes\">notes</a>" : "")
        + ".</p>\n";
  }

  private static String link(String id, String words) {
    return "<a href=\"#" + id + "\">" + Markup.text(words) + "</a> ";
  }

  private void plots() {
    PlotInput plots = input.plots();
    for (Plots plot : Plots.values()) {
      Optional<Drawing> wide = plot.scene(plots, plot.wide());
      Optional<Drawing> narrow = plot.scene(plots, plot.narrow());
      if (wide.isPresent() && narrow.isPresent()) {
        figure(plot.word(), wide.get(), narrow.get());
      }
    }
  }

  private void figure(String id, Drawing wide, Drawing narrow) {
    out.append("<h2 id=\"" + id + "\">" + Markup.text(wide.title()) + "</h2>\n<figure>")
        .append("<div class=\"wide\">" + SvgWriter.inline(wide, id + "-w") + "</div>")
        .append("<div class=\"narrow\">" + SvgWriter.inline(narrow, id + "-n") + "</div>")
        .append("<figcaption>" + Markup.text(wide.description()) + "</figcaption></figure>\n");
  }

  private void cautions() {
    out.append(
        "<section class=\"caution\" aria-labelledby=\"cautions\"><h2 id=\"cautions\">Cautions</h2><ul>");
    Cautions.LIST.forEach(line -> out.append("<li>" + Markup.text(line) + "</li>"));
    out.append("</ul></section>\n");
  }
}
