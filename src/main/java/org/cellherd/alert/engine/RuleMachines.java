package org.cellherd.alert.engine;

import java.util.BitSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.rule.Reported;
import org.cellherd.alert.rule.Rule;
import org.cellherd.alert.state.AlertMachine;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Pulse;
import org.cellherd.alert.state.Teller;
import org.cellherd.analysis.state.State;

/** One rule with the state machines of its cells. */
final class RuleMachines {
  /** More than cells and sensors together. */
  private static final int MOST_MACHINES = 1024;

  private final Rule rule;
  private final RuleInput input;
  private final Teller teller;
  private final Taken taken = new Taken();
  private final Map<Integer, AlertMachine> machines = new TreeMap<>();
  private final BitSet judged = new BitSet();
  private long judgedAgeMs = Long.MIN_VALUE / 2;
  private long waitingMs;
  private Pulse now = Pulse.NONE;

  /**
   * Nothing judged yet.
   *
   * @param input what the engine shows all its rules
   * @param teller takes what the machines have to tell
   */
  RuleMachines(Rule rule, RuleInput input, Teller teller) {
    this.rule = rule;
    this.input = input;
    this.teller = teller;
  }

  RuleId id() {
    return rule.terms().id();
  }

  int levels() {
    return rule.terms().timing().levels().size();
  }

  void judge(Pulse pulse) {
    rule.watch(input);
    long credit = waitingMs + pulse.creditMs();
    if (input.fresh().isPresent()) {
      if (pulse.ageMs() - judgedAgeMs < rule.terms().judgedEveryMs()) {
        waitingMs = credit;
        return;
      }
      judgedAgeMs = pulse.ageMs();
    }
    waitingMs = 0;
    judgeAll(credit == pulse.creditMs() ? pulse : pulse.withCreditMs(credit));
  }

  private void judgeAll(Pulse pulse) {
    judged.clear();
    now = pulse;
    rule.judge(input, taken);
    if (!machines.isEmpty()) {
      machines.forEach(
          (cell, machine) -> {
            if (!judged.get(cell)) {
              machine.missing();
            }
          });
    }
  }

  /** Hands judgements on to the machines, with the doubt there is. */
  private final class Taken implements Rule.Verdicts {
    @Override
    public boolean needs(int cell, int level) {
      return level > 0 || (!machines.isEmpty() && machines.containsKey(cell));
    }

    @Override
    public boolean isActive(int cell) {
      AlertMachine machine = machines.get(cell);
      return machine != null && machine.stands() && machine.state() != AlertState.RETURNED;
    }

    @Override
    public void judge(int cell, Judgement judgement) {
      if (needs(cell, judgement.level())) {
        take(cell, rule.terms().doubt().add(cell, judgement, input), now);
      }
    }
  }

  /** True while more readings decide whether something critical is told. */
  boolean asksAgain() {
    return rule.asksAgain()
        || (!machines.isEmpty()
            && machines.values().stream().anyMatch(AlertMachine::awaitsCritical));
  }

  /** Judges again where the rule needs no entry for it. */
  void judgeReported(Pulse pulse) {
    if (rule instanceof Reported reported) {
      reported.judge(
          (cell, judgement) -> {
            if (judgement.level() > 0 || machines.containsKey(cell)) {
              take(cell, judgement, pulse);
            }
          });
    }
  }

  private void take(int cell, Judgement judgement, Pulse pulse) {
    judged.set(cell);
    machine(cell).judge(judgement, pulse, teller);
  }

  private AlertMachine machine(int cell) {
    return machines.computeIfAbsent(cell, this::fresh);
  }

  private AlertMachine fresh(int cell) {
    return new AlertMachine(
        new AlertKey(input.plan().id(), id(), cell), rule.terms().unit(), rule.terms().timing());
  }

  void repeat(Pulse pulse) {
    if (!machines.isEmpty()) {
      machines.values().forEach(m -> m.repeat(pulse, teller));
    }
  }

  void acknowledge(String alertId, String by, Pulse pulse) {
    for (AlertMachine machine : machines.values()) {
      if (machine.stands() && machine.id().equals(alertId)) {
        machine.acknowledge(by, pulse, teller);
      }
    }
  }

  /** Ends what people were told of: its cause is gone for good. */
  void end(Pulse pulse) {
    machines.values().forEach(m -> m.end(pulse, teller));
  }

  void shift(long deltaMs) {
    machines.values().forEach(m -> m.shift(deltaMs));
  }

  /** Alerts that people were told of count only as far as the log still says so. */
  void forgetAllBut(Set<String> ids) {
    for (AlertMachine machine : machines.values()) {
      if (machine.stands() && !ids.contains(machine.id())) {
        machine.forget();
      }
    }
  }

  void adopt(Alert alert, Pulse pulse) {
    machine(alert.key().cell()).adopt(alert, pulse);
  }

  void standing(Pulse pulse, List<Alert> list) {
    for (AlertMachine machine : machines.values()) {
      if (machine.stands()) {
        list.add(machine.alert(pulse));
      }
    }
  }

  void state(State io) {
    rule.state(io);
    judgedAgeMs = io.number(judgedAgeMs);
    waitingMs = io.number(waitingMs);
    io.parts(machines, MOST_MACHINES, this::fresh, AlertMachine::state);
  }
}
