package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Spoken;
import org.cellherd.report.scene.Markup;

/** Many packs on one page, those that need somebody first, each with its cells by day. */
public final class FleetHtml {

  private static final int WIDTH = 150;
  private static final int HEIGHT = 28;

  /**
   * A pack's row.
   *
   * @param place site and pack
   * @param worst priority of its worst alert, or ""
   * @param reason in a sentence
   * @param times since when and last heard, as they are shown
   * @param figures the other figures, one a column
   * @param lows lowest cell by day, 0.1 mV
   * @param highs highest cell by day, 0.1 mV
   */
  public record Row(
      String place,
      String worst,
      String reason,
      List<String> times,
      List<String> figures,
      List<Long> lows,
      List<Long> highs) {
    public Row {
      times = List.copyOf(times);
      figures = List.copyOf(figures);
      lows = List.copyOf(lows);
      highs = List.copyOf(highs);
    }
  }

  private FleetHtml() {}

  /**
   * The page.
   *
   * @param verdict the first sentence
   * @param columns headings of the figures
   * @param footer when and with what it was made
   */
  public static String of(String verdict, List<String> columns, List<Row> rows, String footer) {
    StringBuilder body = new StringBuilder();
    body.append("<main><h1>All packs</h1>\n<p class=\"verdict\">").append(Markup.text(verdict));
    body.append("</p>\n<div class=\"scroll\" tabindex=\"0\" role=\"region\"");
    body.append(" aria-label=\"All packs\"><table>\n<tr>");
    List<String> heads = new ArrayList<>(List.of("Site and pack", "Alert", "Since", "Heard"));
    heads.addAll(columns);
    heads.add("Cells by day");
    heads.forEach(h -> body.append("<th scope=\"col\">").append(Markup.text(h)).append("</th>"));
    body.append("</tr>\n");
    rows.forEach(row -> row(body, row));
    body.append("</table></div></main>\n<footer><p class=\"soft\">");
    body.append(Markup.text(footer)).append("</p>\n<p class=\"soft\">");
    body.append(Markup.text(Cautions.LINE)).append("</p></footer>\n");
    return HtmlPage.of("All packs", body.toString());
  }

  private static void row(StringBuilder body, Row row) {
    body.append("<tr><th scope=\"row\">").append(Markup.text(row.place())).append("</th><td>");
    if (!row.worst().isEmpty()) {
      String word = Markup.text(row.worst());
      body.append("<span class=\"mark ").append(word).append("\">").append(word).append("</span> ");
    }
    body.append(Markup.text(row.reason())).append("</td>");
    row.times().forEach(t -> body.append("<td>").append(Markup.text(t)).append("</td>"));
    row.figures()
        .forEach(f -> body.append("<td class=\"n\">").append(Markup.text(f)).append("</td>"));
    body.append("<td>").append(strip(row)).append("</td></tr>\n");
  }

  /** A bar a day from the lowest to the highest cell. */
  private static String strip(Row row) {
    if (row.lows().isEmpty()) {
      return "";
    }
    double low = row.lows().stream().mapToLong(Long::longValue).min().orElse(0);
    double high = row.highs().stream().mapToLong(Long::longValue).max().orElse(1);
    double scale = (HEIGHT - 2) / Math.max(1, high - low);
    double step = (double) WIDTH / Math.max(10, row.lows().size());
    StringBuilder bars = new StringBuilder();
    for (int i = 0; i < row.lows().size(); i++) {
      double top = 1 + (high - row.highs().get(i)) * scale;
      double tall = Math.max(1, (row.highs().get(i) - row.lows().get(i)) * scale);
      bars.append(
          String.format(
              Locale.ROOT,
              "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>",
              i * step,
              top,
              step * 0.7,
              tall));
    }
    String told =
        "cells from "
            + Spoken.volts(low / 10)
            + " to "
            + Spoken.volts(high / 10)
            + " in "
            + row.lows().size()
            + (row.lows().size() == 1 ? " day" : " days");
    return String.format(
        Locale.ROOT,
        "<svg viewBox=\"0 0 %d %d\" style=\"width:%dpx\" role=\"img\" aria-label=\"%s\""
            + " fill=\"var(--s1)\"><title>%s</title>%s</svg>",
        WIDTH,
        HEIGHT,
        WIDTH,
        Markup.text(told),
        Markup.text(told),
        bars);
  }
}
