package org.cellherd.report;

import org.cellherd.report.scene.Markup;

/** Alerts of a report: what, first step, and the numbers behind them. */
final class AlertsHtml {

  private final ReportInput input;
  private final FactsHtml facts;

  AlertsHtml(ReportInput input, FactsHtml facts) {
    this.input = input;
    this.facts = facts;
  }

  String html() {
    StringBuilder out = new StringBuilder("<h2 id=\"alerts\">Alerts</h2>\n");
    if (input.evidence().alerts().isEmpty()) {
      return out.append("<p>" + input.evidence().noAlert() + "</p>\n").toString();
    }
    out.append(
        "<p class=\"soft\">Numbers are those of the marks above the plots; a mark with + stands for others close by, too.</p>\n");
    int number = 0;
    for (AlertSpan span : input.evidence().alerts()) {
      out.append(alert(++number, span));
    }
    return out.toString();
  }

  private String alert(int number, AlertSpan span) {
    String seen = span.acknowledgedBy().isEmpty() ? "" : ", seen by " + span.acknowledgedBy();
    String when =
        span.toMs().isPresent()
            ? input.made().span(span.fromMs(), span.toMs().getAsLong())
            : input.made().minute(span.fromMs()) + ", active at the end";
    return "<article class=\"alert\" id=\"alert-"
        + number
        + "\" tabindex=\"-1\"><h3><span class=\"mark "
        + span.worst().word()
        + "\">"
        + number
        + "</span> "
        + span.worst().word()
        + " <span class=\"soft\">"
        + Markup.text(when + seen)
        + "</span></h3>\n<p>"
        + Markup.text(span.text(input.made().zone()))
        + "</p>\n<p><strong>First:</strong> "
        + Markup.text(span.alert().firstStep())
        + "</p>\n"
        + FactsHtml.folded("Alert " + number, "The numbers", facts.of(span.evidence()))
        + "<p><a href=\"#herd\" aria-label=\"Herd strip, alert "
        + number
        + "\">In the herd strip</a></p></article>\n";
  }
}
