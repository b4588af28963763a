package org.cellherd.report;

import java.util.List;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.report.plot.IntervalPlot;
import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.SvgWriter;

/** Facts of findings and alerts as lists, tables and bands. What is not known is left out. */
final class FactsHtml {

  /** More characters take a line of their own. */
  private static final int LONG = 24;

  private final FactWords words;
  private int intervals;

  FactsHtml(Made made) {
    this.words = new FactWords(made);
  }

  /** Single values as a list, then each table and what has parts of its own. */
  String of(Facts facts) {
    return html(words.told(facts));
  }

  /** What is not read at a glance, below words to press on; paper has it open. */
  static String folded(String what, String words, String html) {
    return html.isEmpty()
        ? ""
        : "<details aria-label=\"%s\"><summary>%s</summary>\n%s</details>\n"
            .formatted(Markup.attribute(what), words, html);
  }

  private String html(List<Told> facts) {
    StringBuilder list = new StringBuilder();
    StringBuilder after = new StringBuilder();
    for (Told fact : facts) {
      if (fact instanceof Told.Line line) {
        list.append(line.text().length() > LONG ? "<div class=\"long\">" : "<div>")
            .append("<dt>" + Markup.text(line.name()) + "</dt><dd>")
            .append(Markup.text(line.text()) + "</dd></div>\n");
      } else if (fact instanceof Told.Table table) {
        after.append(table(table));
      } else if (fact instanceof Told.Parts within) {
        after.append("<p>" + Markup.text(within.name()) + "</p>\n" + html(within.parts()));
      }
    }
    return (list.isEmpty() ? "" : "<dl>\n" + list + "</dl>\n") + after;
  }

  private String table(Told.Table table) {
    StringBuilder out = new StringBuilder(scroll(table.name()));
    out.append("<caption>" + Markup.text(table.name()) + "</caption><thead><tr>");
    List<Fact> first = table.facts().get(0).list();
    for (int column = 0; column < first.size(); column++) {
      out.append("<th scope=\"col\"" + side(first.get(column)) + ">")
          .append(Markup.text(table.head().get(column)));
    }
    out.append("</tr></thead><tbody>\n");
    for (List<String> row : table.rows()) {
      out.append("<tr>");
      for (int column = 0; column < first.size(); column++) {
        out.append("<td" + side(first.get(column)) + ">" + Markup.text(row.get(column)));
      }
      out.append("</tr>\n");
    }
    out.append("</tbody></table></div>\n");
    IntervalPlot.scene(table.name(), table.facts())
        .ifPresent(
            scene -> {
              String id = "interval-" + ++intervals;
              out.append("<figure class=\"small\">" + SvgWriter.inline(scene, id))
                  .append("<figcaption>" + Markup.text(scene.description()))
                  .append("</figcaption></figure>\n");
            });
    return out.toString();
  }

  private static String side(Fact fact) {
    boolean isNumber = fact.value() instanceof Number || Bounds.of(fact.value()).isPresent();
    return isNumber ? " class=\"n\"" : "";
  }

  /** Begin of a table that may be wider than a phone; reached by keyboard. */
  static String scroll(String name) {
    return "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\""
        + Markup.attribute(name)
        + "\"><table>";
  }
}
