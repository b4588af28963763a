package org.cellherd.report;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.scene.Markup;

/** Energy of each day, or of each month where there are many days. */
final class EnergyTable {

  /** What a row tells, and what it leaves to the log. */
  private static final List<String> FACTS =
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
          "beyond_zone_minutes",
          "hot_minutes",
          "peak_charge_w",
          "peak_discharge_w",
          "coverage_pct");

  private static final int MOST_DAYS = 40;

  /** Fewer are read in sentences by those who have no page. */
  private static final int LEAST_DAYS = 5;

  private static final double WH_PER_KWH = 1000;
  private static final double MINUTES_PER_H = 60;
  private static final DateTimeFormatter MONTH =
      DateTimeFormatter.ofPattern("MMM uuuu", Locale.ENGLISH);

  private static final String LEGEND =
      "Cold: charged with a cell sensor below 0 °C. Fast: charged faster or higher than published"
          + " tables allow at that temperature.";

  private final List<String> head;
  private final Map<String, Row> rows = new LinkedHashMap<>();
  private final boolean isSmall;

  private EnergyTable(String first, boolean isSmall) {
    this.isSmall = isSmall;
    String unit = isSmall ? "Wh" : "kWh";
    head =
        List.of(
            first,
            "in, " + unit,
            "out, " + unit,
            "charge, %",
            "swing, %",
            "full, h",
            "cold, min",
            "fast, min",
            "heard, %");
  }

  private static final class Row {
    private Interval in = Interval.exactly(0);
    private Interval out = Interval.exactly(0);
    private double low = Double.NaN;
    private double high = Double.NaN;
    private double swing;
    private double full;
    private double cold;
    private double beyond;
    private double heardMs;
    private final double allMs;

    /** For so many ms. */
    Row(double allMs) {
      this.allMs = allMs;
    }

    void add(Finding finding) {
      EnergyResult day = finding.result(EnergyResult.class).orElseThrow();
      in = in.plus(day.chargedWh());
      out = out.plus(day.dischargedWh());
      swing = Math.max(swing, known(day.depthPct()));
      full += known(day.fullMinutes());
      cold += known(day.coldChargeMinutes());
      beyond += Math.max(0, known(day.beyondZoneMinutes()) - known(day.coldChargeMinutes()));
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

    List<String> cells(String name, boolean isSmall) {
      return List.of(
          name,
          isSmall ? in.words(1) : in.times(1 / WH_PER_KWH).words(2),
          isSmall ? out.words(1) : out.times(1 / WH_PER_KWH).words(2),
          Double.isNaN(low) ? "-" : Spoken.between(low, high, 0),
          Spoken.number(swing, 0),
          Spoken.number(full / MINUTES_PER_H, 1),
          Spoken.number(cold, 0),
          Spoken.number(beyond, 0),
          Spoken.number(allMs > 0 ? Math.min(100, 100 * heardMs / allMs) : 0, 0));
    }
  }

  /**
   * A row a month of more than 40 days, else a row a day.
   *
   * @param fromMs begin of what is told
   * @param toMs its end; what is missing of a month in between was not heard
   */
  static EnergyTable of(List<Finding> days, ZoneId zone, long fromMs, long toMs) {
    return days.size() > MOST_DAYS ? byMonth(days, zone, fromMs, toMs) : byDay(days, zone);
  }

  /** A row a day. */
  static EnergyTable byDay(List<Finding> days, ZoneId zone) {
    EnergyTable table = new EnergyTable("Day", isSmall(days));
    for (Finding day : days) {
      String name = SpokenTime.day(day.fromMs(), zone);
      // Of a day that is not over what is still to come was not heard either.
      ZonedDateTime begin = midnight(day, zone);
      double allMs = ChronoUnit.MILLIS.between(begin, begin.plusDays(1));
      table.rows.computeIfAbsent(name, n -> new Row(allMs)).add(day);
    }
    return table;
  }

  private static EnergyTable byMonth(List<Finding> days, ZoneId zone, long fromMs, long toMs) {
    EnergyTable table = new EnergyTable("Month", false);
    for (Finding day : days) {
      ZonedDateTime begin = midnight(day, zone);
      ZonedDateTime first = begin.withDayOfMonth(1);
      double from = Math.max(first.toInstant().toEpochMilli(), fromMs);
      double to = Math.min(first.plusMonths(1).toInstant().toEpochMilli(), toMs);
      table.rows.computeIfAbsent(MONTH.format(begin), n -> new Row(to - from)).add(day);
    }
    return table;
  }

  private static ZonedDateTime midnight(Finding day, ZoneId zone) {
    return Instant.ofEpochMilli(day.fromMs()).atZone(zone).truncatedTo(ChronoUnit.DAYS);
  }

  /** Where a day of a small pack would round to nothing in kWh. */
  private static boolean isSmall(List<Finding> days) {
    return days.stream()
        .flatMap(day -> day.result(EnergyResult.class).stream())
        .allMatch(day -> Math.max(day.chargedWh().mid(), day.dischargedWh().mid()) < WH_PER_KWH);
  }

  /** What no row tells of the newest day. */
  static Facts beside(Finding newest) {
    Facts.Builder beside = Facts.of();
    newest.facts().list().stream()
        .filter(f -> !FACTS.contains(f.name().replaceFirst("_(low|high)$", "")))
        .forEach(f -> beside.putAll(new Facts(List.of(f))));
    return beside.build();
  }

  /** Of few days the sentences, else the rows and the newest sentence, for a terminal or a mail. */
  static List<String> lines(List<Finding> days, EnergyTable table) {
    if (days.size() < LEAST_DAYS) {
      return days.stream().map(Finding::sentence).toList();
    }
    List<String> lines = new ArrayList<>(table.lines());
    lines.add(days.get(days.size() - 1).sentence());
    return lines;
  }

  private List<String> lines() {
    TextTable table = new TextTable(0, 2).row(heads(0)).row(heads(1));
    rows.forEach((name, row) -> table.row(row.cells(name, isSmall).toArray(String[]::new)));
    List<String> lines = new ArrayList<>(table.lines());
    if (rows.values().stream().anyMatch(row -> row.cold > 0 || row.beyond > 0)) {
      lines.add(LEGEND);
    }
    return lines;
  }

  /** Names in a row and units in the next: nine columns within a terminal. */
  private String[] heads(int part) {
    return head.stream().map(h -> (h + ", ").split(", ", -1)[part]).toArray(String[]::new);
  }

  String html() {
    StringBuilder out = new StringBuilder(FactsHtml.scroll("Energy"));
    out.append("<caption>Local " + (head.contains("Month") ? "months. " : "days. ") + LEGEND)
        .append("</caption><thead><tr><th scope=\"col\">" + head.get(0));
    head.stream().skip(1).forEach(h -> out.append("<th scope=\"col\" class=\"n\">" + h));
    out.append("</tr></thead><tbody>\n");
    rows.forEach((name, row) -> out.append(html(row.cells(name, isSmall))));
    return out.append("</tbody></table></div>\n").toString();
  }

  private static String html(List<String> cells) {
    List<String> told = new ArrayList<>();
    told.add("<tr><th scope=\"row\">" + Markup.text(cells.get(0)));
    cells.stream().skip(1).forEach(cell -> told.add("<td class=\"n\">" + cell));
    return String.join("", told) + "</tr>\n";
  }
}
