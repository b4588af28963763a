package org.cellherd.report;

import java.util.List;
import java.util.Optional;
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
    StringBuilder list = new StringBuilder();
    StringBuilder after = new StringBuilder();
    for (Fact fact : facts.list()) {
      Object value = fact.value();
      Optional<List<Facts>> rows = FactWords.rows(value);
      Optional<Facts> parts = FactWords.parts(value);
      if (rows.isPresent()) {
        after.append(table(fact.name(), rows.get()));
      } else if (parts.isPresent()) {
        after.append("<p>" + Markup.text(FactWords.name(fact.name())) + "</p>\n");
        after.append(of(parts.get()));
      } else if (FactWords.isTold(value)) {
        String told = words.value(value);
        list.append(told.length() > LONG ? "<div class=\"long\">" : "<div>")
            .append("<dt>" + Markup.text(FactWords.name(fact.name())) + "</dt><dd>")
            .append(Markup.text(told) + "</dd></div>\n");
      }
    }
    return (list.isEmpty() ? "" : "<dl>\n" + list + "</dl>\n") + after;
  }

  private String table(String name, List<Facts> rows) {
    String caption = FactWords.name(name);
    StringBuilder out = new StringBuilder(scroll(caption));
    out.append("<caption>" + Markup.text(caption) + "</caption><thead><tr>");
    for (Fact fact : rows.get(0).list()) {
      out.append("<th scope=\"col\"" + side(fact) + ">")
          .append(Markup.text(FactWords.name(fact.name())));
    }
    out.append("</tr></thead><tbody>\n");
    for (Facts row : rows) {
      out.append("<tr>");
      row.list()
          .forEach(f -> out.append("<td" + side(f) + ">" + Markup.text(words.cell(f.value()))));
      out.append("</tr>\n");
    }
    out.append("</tbody></table></div>\n");
    IntervalPlot.scene(caption, rows)
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
    return fact.value() instanceof Number ? " class=\"n\"" : "";
  }

  /** Begin of a table that may be wider than a phone; reached by keyboard. */
  static String scroll(String name) {
    return "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\""
        + Markup.attribute(name)
        + "\"><table>";
  }
}
