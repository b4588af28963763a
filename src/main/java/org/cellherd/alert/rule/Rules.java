package org.cellherd.alert.rule;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.PackPlan;

/** The list of all rules. */
public final class Rules {
  private static final List<Rule.Kind> ALL =
      List.of(
          CellHigh.KIND,
          CellLow.KIND,
          LimitAhead.KIND,
          Runner.KIND,
          Bouncing.KIND,
          Imbalance.KIND,
          Spread.KIND,
          Hot.KIND,
          Heating.KIND,
          Cold.KIND,
          ColdCharge.KIND,
          ZoneCharge.KIND,
          ColdMorning.KIND,
          OverCurrent.KIND,
          Silent.KIND,
          Frozen.KIND,
          CellCount.KIND,
          Implausible.KIND,
          EmptyAhead.KIND,
          StoredLow.KIND,
          ChargeVoltage.KIND,
          NeverFull.KIND,
          Leak.KIND,
          CapacityFall.KIND,
          HighResistance.KIND,
          StoreFault.KIND,
          WrongBoard.KIND,
          BankShare.KIND,
          Restarted.KIND,
          TestAlert.KIND);

  private Rules() {}

  /** All, in the order in which they are judged. */
  public static List<Rule.Kind> all() {
    return ALL;
  }

  /** The rule of a word, or empty. */
  public static Optional<RuleId> find(String word) {
    return ALL.stream().map(Rule.Kind::id).filter(id -> id.word().equals(word)).findFirst();
  }

  /**
   * The rule of a word that is known to be one.
   *
   * @throws IllegalArgumentException when it is none
   */
  public static RuleId id(String word) {
    return find(word).orElseThrow(() -> new IllegalArgumentException("no rule " + word));
  }

  public static List<String> words() {
    return ALL.stream().map(kind -> kind.id().word()).toList();
  }

  /** The defaults for a pack: by its chemistry, its charge voltage and its ratings. UTC. */
  public static AlertSettings defaults(PackPlan plan) {
    return AlertSettings.of(ALL.stream().map(kind -> kind.defaults().apply(plan)).toList());
  }

  /** The rules that look at the log of one pack, in the order in which they are judged. */
  public static List<Rule> of(PackPlan plan, AlertSettings settings) {
    return ALL.stream()
        .flatMap(kind -> kind.maker().stream())
        .map(maker -> maker.apply(plan, settings))
        .toList();
  }
}
