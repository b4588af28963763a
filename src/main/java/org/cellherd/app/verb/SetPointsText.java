package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Facts;
import org.cellherd.report.Arrangement;
import org.cellherd.report.TextTable;

/** Set-points as text and as facts. */
final class SetPointsText {

  private SetPointsText() {}

  static List<String> lines(SetPoints points) {
    List<String> lines = new ArrayList<>();
    lines.add(points.plan().name() + ": " + Arrangement.of(points.plan()));
    for (SetPoints.Point.Place place : SetPoints.Point.Place.values()) {
      List<SetPoints.Point> there =
          points.points().stream().filter(p -> p.place() == place).toList();
      if (!there.isEmpty()) {
        lines.add("");
        lines.add(place.title());
        lines.addAll(table(there));
      }
    }
    lines.add("");
    lines.add("Margins with these numbers, as \"cellherd check\" judges them");
    points.margins().forEach(check -> lines.add(check.verdict().line(check.sentence())));
    rests(points, lines);
    lines.addAll(Cautions.LIST);
    return lines;
  }

  private static List<String> table(List<SetPoints.Point> points) {
    TextTable table = new TextTable(2);
    for (SetPoints.Point point : points) {
      table.row(point.name(), point.shown(), point.reason());
      table.row("", "", "(" + point.source() + ")");
    }
    return table.lines();
  }

  private static void rests(SetPoints points, List<String> lines) {
    lines.add("");
    lines.add("A cell's voltage after hours at rest at 25 \u00b0C, and the charge it may mean");
    TextTable table = new TextTable(2);
    for (SetPoints.RestRow row : points.rests()) {
      String plateau = row.isPlateau() ? "the plateau: count ampere-hours instead" : "";
      table.row(row.volts(), row.charge(), plateau);
    }
    lines.addAll(table.lines());
    lines.add("  (" + points.plan().chemistry().sheet().openCircuit().source() + ")");
    lines.add("");
  }

  static Facts facts(SetPoints points) {
    return Facts.of()
        .put("pack", points.plan().id())
        .put("set_points", points.points().stream().map(SetPoints.Point::facts).toList())
        .put("margins", points.margins().stream().map(PlanCheck::facts).toList())
        .put("rest_table", points.rests().stream().map(SetPoints.RestRow::facts).toList())
        .put("rest_table_source", points.plan().chemistry().sheet().openCircuit().source())
        .put("cautions", Cautions.LIST)
        .build();
  }
}
