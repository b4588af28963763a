package org.cellherd.report;

import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.Spoken;
import org.cellherd.report.plot.Tracks;
import org.cellherd.report.scene.Markup;

/** Energy of each day, or of each month where there are many days. */
final class EnergyTable {

  /** What a row tells, and what it leaves to the log. */
  static final List<String> FACTS =
      List.of(
          "day",
          "hours",
          "charged_wh",
          "discharged_wh",
          "charged_ah",
          "discharged_ah",
          "soc_min_pct",
          "soc_max_pct",
          "depth_pct",
          "full_minutes",
          "cold_charge_minutes",
          "hot_minutes",
          "peak_charge_w",
          "peak_discharge_w",
          "coverage_pct");

  private static final int MOST_DAYS = 40;
  private static final double WH_PER_KWH = 1000;
  private static final double MINUTES_PER_H = 60;
  private static final DateTimeFormatter MONTH =
      DateTimeFormatter.ofPattern("MMM uuuu", Locale.ENGLISH);

  private EnergyTable() {}

  /** One row. */
  private static final class Row {
    private double in;
    private double out;
    private double low = Double.NaN;
    private double high = Double.NaN;
    private double full;
    private double cold;
    private double heardMs;
    private double allMs;

    /** For a stretch of so many ms. */
    Row(double allMs) {
      this.allMs = allMs;
    }

    void add(Finding finding) {
      EnergyResult day = finding.result(EnergyResult.class).orElseThrow();
      in += day.chargedWh().mid();
      out += day.dischargedWh().mid();
      full += known(day.fullMinutes());
      cold += known(day.coldChargeMinutes());
      heardMs += known(day.coveragePct()) / 100 * (finding.toMs() - finding.fromMs());
      double least = day.socMinPct();
      double most = day.socMaxPct();
      if (!Double.isNaN(least) && !Double.isNaN(most)) {
        low = Double.isNaN(low) ? least : Math.min(low, least);
        high = Double.isNaN(high) ? most : Math.max(high, most);
      }
    }

    private static double known(double value) {
      return Double.isNaN(value) ? 0 : value;
    }

    String html(String name) {
      String soc = Double.isNaN(low) ? "" : Spoken.between(low, high, 0);
      return String.format(
          Locale.ROOT,
          "<tr><th scope=\"row\">%s<td class=\"n\">%.2f<td class=\"n\">%.2f<td class=\"n\">%s"
              + "<td class=\"n\">%.1f<td class=\"n\">%.0f<td class=\"n\">%.0f</tr>%n",
          Markup.text(name),
          in / WH_PER_KWH,
          out / WH_PER_KWH,
          soc,
          full / MINUTES_PER_H,
          cold,
          allMs > 0 ? Math.min(100, 100 * heardMs / allMs) : 0);
    }
  }

  /** How much of a month lies in the report, heard or not. */
  private static double monthMs(ZonedDateTime day, Tracks report) {
    ZonedDateTime first = day.truncatedTo(ChronoUnit.DAYS).withDayOfMonth(1);
    long from = Math.max(first.toInstant().toEpochMilli(), report.fromMs());
    long to = Math.min(first.plusMonths(1).toInstant().toEpochMilli(), report.toMs());
    return to - (double) from;
  }

  static String of(List<Finding> findings, ReportInput input) {
    Made made = input.made();
    boolean monthly = findings.size() > MOST_DAYS;
    Map<String, Row> rows = new LinkedHashMap<>();
    for (Finding finding : findings) {
      String day = made.day(finding.fromMs());
      ZonedDateTime begin = Instant.ofEpochMilli(finding.fromMs()).atZone(made.zone());
      double all =
          monthly ? monthMs(begin, input.tracks()) : finding.toMs() - (double) finding.fromMs();
      rows.computeIfAbsent(monthly ? MONTH.format(begin) : day, n -> new Row(all)).add(finding);
    }
    StringBuilder out = new StringBuilder(FactsHtml.scroll("Energy"));
    out.append("<caption>Local " + (monthly ? "months" : "days") + "</caption><thead><tr>")
        .append("<th scope=\"col\">" + (monthly ? "Month" : "Day"))
        .append("<th scope=\"col\" class=\"n\">in, kWh<th scope=\"col\" class=\"n\">out, kWh")
        .append("<th scope=\"col\" class=\"n\">charge, %<th scope=\"col\" class=\"n\">full, h")
        .append("<th scope=\"col\" class=\"n\">charged cold, min")
        .append("<th scope=\"col\" class=\"n\">heard, %</tr></thead><tbody>\n");
    rows.forEach((name, row) -> out.append(row.html(name)));
    return out.append("</tbody></table></div>\n").toString();
  }
}
