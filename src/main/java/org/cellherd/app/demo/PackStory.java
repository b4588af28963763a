package org.cellherd.app.demo;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
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
  long balancedAtMs = -1;
  Optional<BalanceView.Lead> greatestLead = Optional.empty();
  BalanceView last = BalanceView.UNKNOWN;

  PackStory(PackPlan plan) {
    this.plan = plan;
  }

  void take(long timeMs, BalanceView balance) {
    last = balance;
    if (balance.state() == BalanceView.State.BALANCED && balancedAtMs < 0) {
      balancedAtMs = timeMs;
    }
    greatest(balance)
        .filter(lead -> greatestLead.isEmpty() || lead.ah().mid() > greatestLead.get().ah().mid())
        .ifPresent(lead -> greatestLead = Optional.of(lead));
  }

  private static Optional<BalanceView.Lead> greatest(BalanceView balance) {
    return balance.leads().stream().max(Comparator.comparingDouble(l -> l.ah().mid()));
  }
}
