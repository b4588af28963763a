package org.cellherd.app.daemon;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.BankEngine;
import org.cellherd.alert.rule.BankShare;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** The rules of packs that share a bus. One thread. */
final class BankWatch {

  private final List<BankEngine> banks = new ArrayList<>();
  private final List<String> packs = new ArrayList<>();

  BankWatch(List<Config.Bank> configs, List<PackConfig> all) {
    for (Config.Bank bank : configs) {
      List<PackConfig> members =
          all.stream().filter(p -> bank.packs().contains(p.plan().id())).toList();
      List<PackPlan> plans = members.stream().map(PackConfig::plan).toList();
      banks.add(new BankEngine(bank.id(), plans, members.get(0).alerts()));
      packs.addAll(bank.packs());
    }
  }

  List<AlertEvent> onEntry(String pack, LogEntry entry, PackView view) {
    return each(bank -> bank.onEntry(pack, entry, view));
  }

  List<AlertEvent> onTick(long timeMs) {
    return each(bank -> bank.onTick(timeMs));
  }

  List<AlertEvent> acknowledge(String alertId, String by, long timeMs) {
    return each(bank -> bank.acknowledge(alertId, by, timeMs));
  }

  /** Takes over the banks' own alerts and returns the others, which are the packs' own. */
  List<Alert> adopt(List<Alert> standing) {
    banks.forEach(bank -> bank.adopt(standing));
    return standing.stream()
        .filter(a -> !a.key().rule().equals(BankShare.ID) || !packs.contains(a.key().pack()))
        .toList();
  }

  List<Alert> standing(String pack) {
    return banks.stream()
        .flatMap(bank -> bank.standing().stream())
        .filter(a -> a.key().pack().equals(pack))
        .toList();
  }

  /** What a pack's bank carries; empty for a pack of none. */
  Optional<Facts> facts(String pack) {
    return banks.stream().flatMap(bank -> bank.facts(pack).stream()).findFirst();
  }

  private List<AlertEvent> each(Function<BankEngine, List<AlertEvent>> call) {
    List<AlertEvent> events = new ArrayList<>();
    banks.forEach(bank -> events.addAll(call.apply(bank)));
    return events;
  }
}
