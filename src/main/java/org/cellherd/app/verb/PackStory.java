package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.PackPlan;

/** What happened to one pack in the demo. */
final class PackStory {
  final PackPlan plan;
  final List<AlertEvent> events = new ArrayList<>();
  final Map<FindingName, Finding> findings = new EnumMap<>(FindingName.class);
  long readings;
  long nextHourMs;
  BalanceView last = BalanceView.UNKNOWN;

  PackStory(PackPlan plan) {
    this.plan = plan;
  }
}
