package org.cellherd.report;

import java.util.List;
import java.util.Locale;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.report.plot.IntervalPlot;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.SvgWriter;

/** Tables of an HTML report. */
final class HtmlTables {

  /** More findings of one kind than this are told by their sentence alone. */
  private static final int MOST_DETAILED = 6;

  private final ReportInput input;
  private final FactWords words;
  private int intervals;

  HtmlTables(ReportInput input) {
    this.input = input;
    this.words = new FactWords(input.made());
  }

  String cells() {
    Tracks tracks = input.tracks();
    StringBuilder out = new StringBuilder();
    int count = tracks.count(Channel.Kind.CELL);
    if (count == 0) {
      return "";
    }
    out.append("<h2 id=\"cell-table\">Cells in numbers</h2>\n")
        .append("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Cells\"><table>")
        .append("<caption>Single readings; the distance from the median at the end.</caption>")
        .append("<thead><tr><th scope=\"col\">Cell<th scope=\"col\" class=\"n\">lowest, V")
        .append("<th scope=\"col\" class=\"n\">mean, V<th scope=\"col\" class=\"n\">highest, V")
        .append("<th scope=\"col\" class=\"n\">from median, mV</tr></thead><tbody>\n");
    for (int cell = 1; cell <= count; cell++) {
      int number = cell;
      tracks.of(Channel.cell(cell)).ifPresent(track -> out.append(cell(number, track)));
    }
    return out.append("</tbody></table></div>\n").toString();
  }

  private String cell(int cell, Track track) {
    String away =
        input
            .tracks()
            .deviation(cell)
            .filter(d -> d.last() >= 0)
            .map(d -> String.format(Locale.ROOT, "%+.1f", d.mean(d.last())))
            .orElse("");
    return String.format(
        Locale.ROOT,
        "<tr><th scope=\"row\">%d<td class=\"n\">%.3f<td class=\"n\">%.3f<td class=\"n\">%.3f"
            + "<td class=\"n\">%s</tr>%n",
        cell,
        track.lowest(),
        track.overallMean(),
        track.highest(),
        away.replace('-', '\u2212'));
  }

  String alerts() {
    StringBuilder out = new StringBuilder("<h2 id=\"alerts\">Alerts</h2>\n");
    List<AlertSpan> alerts = input.evidence().alerts();
    if (alerts.isEmpty()) {
      return out.append("<p>None in this time.</p>\n").toString();
    }
    out.append("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Alerts\"><table>")
        .append("<caption>Numbers are those of the marks above the plots.</caption><thead><tr>")
        .append("<th scope=\"col\">No<th scope=\"col\">Priority<th scope=\"col\">From")
        .append("<th scope=\"col\">To<th scope=\"col\">What, first step, evidence</tr></thead>")
        .append("<tbody>\n");
    int number = 0;
    for (AlertSpan span : alerts) {
      out.append(alert(++number, span));
    }
    return out.append("</tbody></table></div>\n").toString();
  }

  private String alert(int number, AlertSpan span) {
    String end =
        span.toMs().isPresent() ? input.made().minute(span.toMs().getAsLong()) : "still so";
    String seen = span.acknowledgedBy().isEmpty() ? "" : " Seen by " + span.acknowledgedBy() + ".";
    return "<tr id=\"alert-"
        + number
        + "\"><th scope=\"row\">"
        + number
        + "<td>"
        + span.worst().word()
        + "<td>"
        + Markup.text(input.made().minute(span.fromMs()))
        + "<td>"
        + Markup.text(end)
        + "<td>"
        + Markup.text(span.alert().text() + seen)
        + "<br>First step: "
        + Markup.text(span.alert().firstStep())
        + facts(span.alert().evidence())
        + " <a href=\"#herd\" aria-label=\"Herd strip, alert "
        + number
        + "\">In the herd strip</a></tr>\n";
  }

  String findings(List<Finding> findings) {
    StringBuilder out = new StringBuilder();
    int first = Math.max(0, findings.size() - MOST_DETAILED);
    for (int i = 0; i < findings.size(); i++) {
      Finding finding = findings.get(i);
      out.append("<p>" + Markup.text(finding.sentence()) + " <span class=\"soft\">")
          .append(Markup.text(input.made().minute(finding.fromMs()) + " to "))
          .append(Markup.text(input.made().minute(finding.toMs())) + "</span></p>\n");
      if (i >= first) {
        out.append(facts(finding.facts()));
      }
    }
    return out.toString();
  }

  private String facts(Facts facts) {
    StringBuilder list = new StringBuilder();
    StringBuilder after = new StringBuilder();
    for (Fact fact : facts.list()) {
      Object value = fact.value();
      if (FactWords.isTable(value) && value instanceof List<?> rows) {
        after.append(table(fact.name(), rows));
      } else {
        list.append("<div><dt>" + Markup.text(FactWords.name(fact.name())) + "</dt><dd>")
            .append(Markup.text(words.value(value)) + "</dd></div>\n");
      }
    }
    return (list.isEmpty() ? "" : "<dl>" + list + "</dl>\n") + after;
  }

  private String table(String name, List<?> rows) {
    StringBuilder out = new StringBuilder();
    String caption = FactWords.name(name);
    out.append("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"")
        .append(Markup.attribute(caption))
        .append("\"><table><caption>" + Markup.text(caption) + "</caption><thead><tr>");
    if (rows.get(0) instanceof Facts first) {
      for (Fact fact : first.list()) {
        out.append("<th scope=\"col\">" + Markup.text(FactWords.name(fact.name())));
      }
    }
    out.append("</tr></thead><tbody>\n");
    for (Object row : rows) {
      if (row instanceof Facts facts) {
        out.append("<tr>");
        facts.list().forEach(f -> out.append("<td>" + Markup.text(words.value(f.value()))));
        out.append("</tr>\n");
      }
    }
    out.append("</tbody></table></div>\n");
    IntervalPlot.scene(caption, rows)
        .ifPresent(
            scene -> {
              String id = "interval-" + ++intervals;
              out.append("<figure style=\"max-width:560px\">" + SvgWriter.inline(scene, id))
                  .append("<figcaption>" + Markup.text(scene.description()))
                  .append("</figcaption></figure>\n");
            });
    return out.toString();
  }

  String remarks() {
    if (input.evidence().remarks().isEmpty()) {
      return "";
    }
    StringBuilder out = new StringBuilder("<h2 id=\"remarks\">Remarks</h2>\n<ul>\n");
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
    if (!coverage.silent().isEmpty()) {
      out.append("<ul>\n");
      int shown = 0;
      for (Tracks.Span span : coverage.silent()) {
        if (++shown > 100) {
          out.append("<li>and " + (coverage.silent().size() - 100) + " more</li>\n");
          break;
        }
        out.append("<li>No readings from " + Markup.text(input.made().minute(span.fromMs())))
            .append(" to " + Markup.text(input.made().minute(span.toMs())) + "</li>\n");
      }
      out.append("</ul>\n");
    }
    return out.toString();
  }
}
