package org.cellherd.alert.engine;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.rule.BankShare;
import org.cellherd.alert.rule.BankShare.Member;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.AlertMachine;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Pulse;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;

/**
 * Watches packs that share a bus: total current, each pack's share of it, and a pack that is open.
 * Alerts stand under the pack that they concern. Belongs to one thread.
 */
public final class BankEngine {

  private final String id;
  private final AlertSettings settings;
  private final BankShare rule;
  private final Map<String, Member> members = new LinkedHashMap<>();
  private final Map<String, AlertMachine> machines = new LinkedHashMap<>();
  private final AlertClock clock = new AlertClock();
  private final Outgoing outgoing;
  private final String first;

  /**
   * A bank to which nothing has happened yet.
   *
   * @param id the bank's id
   * @param plans its packs, at least two
   * @param settings of the rule {@link BankShare}
   */
  public BankEngine(String id, List<PackPlan> plans, AlertSettings settings) {
    if (plans.size() < 2) {
      throw new IllegalArgumentException("bank " + id + " has " + plans.size() + " packs, least 2");
    }
    this.id = id;
    this.settings = settings;
    this.rule = new BankShare(settings.rule(BankShare.ID));
    this.outgoing = new Outgoing(settings.dailyQuota());
    this.first = plans.get(0).id();
    for (PackPlan plan : plans) {
      AlertKey key = new AlertKey(plan.id(), BankShare.ID, 0);
      members.put(plan.id(), new Member(plan));
      machines.put(plan.id(), new AlertMachine(key, rule.terms().unit(), rule.terms().timing()));
    }
  }

  /**
   * Takes the next entry of one of the packs, after its analysis took it. Entries of other packs
   * are ignored.
   */
  public List<AlertEvent> onEntry(String pack, LogEntry entry, PackView view) {
    Member member = members.get(pack);
    boolean isShared = entry instanceof ClockStep || entry instanceof SessionStart;
    if (member == null || (isShared && !pack.equals(first))) {
      return List.of();
    }
    long shift = clock.accept(entry);
    Pulse pulse = pulse();
    machines.values().forEach(m -> m.shift(shift));
    if (entry instanceof Reading reading) {
      member.take(reading, view.flowingMa(), pulse.ageMs());
      judge(pulse);
    } else if (!(entry instanceof ClockStep)) {
      member.lost();
      machines.values().forEach(AlertMachine::missing);
    }
    return told(pulse);
  }

  private void judge(Pulse pulse) {
    if (!settings.rule(BankShare.ID).enabled()) {
      return;
    }
    BankShare.Shares shares = rule.shares(members.values(), pulse.ageMs());
    machines.forEach(
        (pack, machine) -> {
          Optional<Judgement> judgement =
              Optional.ofNullable(members.get(pack)).flatMap(m -> rule.judge(m, shares));
          if (judgement.isPresent()) {
            machine.judge(judgement.get(), pulse, outgoing);
          } else {
            machine.missing();
          }
        });
  }

  /** Lets time pass without an entry, so that repeats come in time. */
  public List<AlertEvent> onTick(long timeMs) {
    clock.tick(timeMs);
    return told(pulse());
  }

  private List<AlertEvent> told(Pulse pulse) {
    machines.values().forEach(m -> m.repeat(pulse, outgoing));
    return outgoing.take();
  }

  /** Somebody saw an alert; unknown ids change nothing. */
  public List<AlertEvent> acknowledge(String alertId, String by, long timeMs) {
    clock.tick(timeMs);
    Pulse pulse = pulse();
    for (AlertMachine machine : machines.values()) {
      if (machine.stands() && machine.id().equals(alertId)) {
        machine.acknowledge(by, pulse, outgoing);
      }
    }
    return outgoing.take();
  }

  /** Takes over the alerts of this rule and these packs that the log says are standing. */
  public void adopt(List<Alert> standing) {
    Pulse pulse = pulse();
    Map<String, Alert> told = new LinkedHashMap<>();
    for (Alert alert : standing) {
      if (alert.key().rule().equals(BankShare.ID)) {
        told.put(alert.key().pack(), alert);
      }
    }
    machines.forEach(
        (pack, machine) -> {
          Alert alert = told.get(pack);
          if (alert != null) {
            machine.adopt(alert, pulse);
          } else if (machine.stands()) {
            machine.forget();
          }
        });
  }

  /** The alerts that people were told of and that are not over. */
  public List<Alert> standing() {
    Pulse pulse = pulse();
    List<Alert> list = new ArrayList<>();
    for (AlertMachine machine : machines.values()) {
      if (machine.stands()) {
        list.add(machine.alert(pulse));
      }
    }
    return list;
  }

  /** Total current and shares as far as all packs are heard. */
  public BankShare.Shares shares() {
    return rule.shares(members.values(), pulse().ageMs());
  }

  /**
   * What the bank carries, A, and the share of one of its packs beside its fair share, percent;
   * unknown while a pack is not heard or next to nothing flows. Empty for other packs.
   */
  public Optional<Facts> facts(String pack) {
    Member member = members.get(pack);
    if (member == null) {
      return Optional.empty();
    }
    BankShare.Shares shares = shares();
    return Optional.of(
        Facts.of()
            .put("bank", id)
            .put("current_a", shares.totalA(), 1)
            .put("share_pct", shares.sharePct().getOrDefault(pack, Double.NaN), 0)
            .put("fair_share_pct", BankShare.fairPct(member, shares), 0)
            .build());
  }

  private Pulse pulse() {
    Pulse pulse = clock.pulse(settings.zone(), 0);
    outgoing.at(pulse.ageMs());
    return pulse;
  }
}
