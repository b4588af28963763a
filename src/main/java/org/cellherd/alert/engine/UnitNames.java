package org.cellherd.alert.engine;

import java.util.List;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.state.AlertText;
import org.cellherd.pack.PackPlan;

/** Names the units of the cell that an alert is about, those that were in it at its time. */
final class UnitNames {

  private final PackPlan plan;

  UnitNames(PackPlan plan) {
    this.plan = plan;
  }

  List<AlertEvent> in(List<AlertEvent> events) {
    return plan.cells().isEmpty()
        ? events
        : events.stream().map(e -> new AlertEvent(e.id(), e.change(), in(e.alert()))).toList();
  }

  Alert in(Alert alert) {
    int cell = alert.key().cell();
    String units = plan.unitsOf(cell, alert.timeMs());
    return units.isEmpty() ? alert : alert.saying(AlertText.withUnits(alert.text(), cell, units));
  }
}
