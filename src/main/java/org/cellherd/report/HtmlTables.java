package org.cellherd.report;

import java.util.Locale;
import java.util.OptionalDouble;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;
import org.cellherd.report.scene.Markup;

/** Tables of an HTML report. */
final class HtmlTables {

  private final ReportInput input;

  HtmlTables(ReportInput input) {
    this.input = input;
  }

  String cells() {
    Tracks tracks = input.tracks();
    StringBuilder out = new StringBuilder();
    int count = tracks.count(Channel.Kind.CELL);
    if (count == 0) {
      return "";
    }
    out.append("<h2 id=\"cell-table\">Cells in numbers</h2>\n")
        .append(FactsHtml.scroll("Cells"))
        .append("<caption>Single readings; the distance from the median at the end.</caption>")
        .append("<thead><tr><th scope=\"col\">Cell<th scope=\"col\" class=\"n\">lowest, V")
        .append("<th scope=\"col\" class=\"n\">mean, V<th scope=\"col\" class=\"n\">highest, V")
        .append("<th scope=\"col\" class=\"n\">from median, mV")
        .append(input.plan().cells().isEmpty() ? "" : "<th scope=\"col\">units")
        .append("</tr></thead><tbody>\n");
    for (int cell = 1; cell <= count; cell++) {
      int number = cell;
      tracks.of(Channel.cell(cell)).ifPresent(track -> out.append(cell(number, track)));
    }
    return out.append("</tbody></table></div>\n").toString();
  }

  private String cell(int cell, Track track) {
    OptionalDouble last = input.tracks().lastDeviation(cell);
    String away = last.isPresent() ? Spoken.signed(last.getAsDouble(), 1) : "";
    return String.format(
        Locale.ROOT,
        "<tr><th scope=\"row\">%d<td class=\"n\">%.3f<td class=\"n\">%.3f<td class=\"n\">%.3f"
            + "<td class=\"n\">%s%s</tr>%n",
        cell,
        track.lowest(),
        track.overallMean(),
        track.highest(),
        away,
        units(cell));
  }

  private String units(int cell) {
    String units = input.plan().unitsOf(cell, input.tracks().toMs());
    return units.isEmpty() ? "" : "<td>" + Markup.text(units);
  }

  String remarks() {
    if (input.evidence().remarks().isEmpty()) {
      return "";
    }
    StringBuilder out = new StringBuilder("<h2 id=\"notes\">Notes</h2>\n<ul>\n");
    int number = 0;
    for (Remark remark : input.evidence().remarks()) {
      String letter = ReportInput.letter(number++);
      String by = remark.by().isEmpty() ? "" : " (" + remark.by() + ")";
      out.append("<li id=\"remark-" + letter + "\"><strong>" + letter + "</strong> ")
          .append(Markup.text(input.made().minute(remark.atMs()) + by + ": " + remark.text()))
          .append("</li>\n");
    }
    return out.append("</ul>\n").toString();
  }

  String gaps() {
    Coverage coverage = new Coverage(input);
    StringBuilder out = new StringBuilder("<h2 id=\"heard\">What was heard</h2>\n<p>");
    out.append(String.format(Locale.ROOT, "%.1f %% of the time", coverage.percent()))
        .append(" has readings; nothing is interpolated across a gap.</p>\n");
    if (!coverage.told().isEmpty()) {
      out.append("<ul>\n");
      for (Tracks.Span span : coverage.told()) {
        out.append("<li>No readings: " + Markup.text(input.made().span(span.fromMs(), span.toMs())))
            .append("</li>\n");
      }
      if (coverage.untold() > 0) {
        out.append("<li>and " + coverage.untold() + " more</li>\n");
      }
      out.append("</ul>\n");
    }
    return out.toString();
  }
}
