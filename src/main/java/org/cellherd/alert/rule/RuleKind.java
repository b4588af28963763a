package org.cellherd.alert.rule;

import java.util.Optional;
import java.util.function.BiFunction;
import java.util.function.Function;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.pack.PackPlan;

/**
 * A rule before there is a pack: each rule's file has one, and {@link Rules} lists them.
 *
 * @param id its name
 * @param meaning what an alert of it says, one line of the reference for people
 * @param defaults its settings for a plan, by chemistry and ratings
 * @param maker makes it for one pack, by the settings of all rules; empty where something else than
 *     a pack's log is judged
 */
public record RuleKind(
    RuleId id,
    String meaning,
    Function<PackPlan, RuleSettings> defaults,
    Optional<BiFunction<PackPlan, AlertSettings, Rule>> maker) {

  /** A rule that looks at the log of one pack, by its own settings. */
  static RuleKind of(
      RuleId id,
      String meaning,
      Function<PackPlan, RuleSettings> defaults,
      Function<RuleSettings, Rule> maker) {
    return ofAll(id, meaning, defaults, (plan, all) -> maker.apply(all.rule(id)));
  }

  /** The same of a rule that looks at the plan too. */
  static RuleKind ofPlan(
      RuleId id,
      String meaning,
      Function<PackPlan, RuleSettings> defaults,
      BiFunction<PackPlan, RuleSettings, Rule> maker) {
    return ofAll(id, meaning, defaults, (plan, all) -> maker.apply(plan, all.rule(id)));
  }

  /** The same of a rule that looks at the settings of others too. */
  static RuleKind ofAll(
      RuleId id,
      String meaning,
      Function<PackPlan, RuleSettings> defaults,
      BiFunction<PackPlan, AlertSettings, Rule> maker) {
    return new RuleKind(id, meaning, defaults, Optional.of(maker));
  }

  /** A rule that is judged elsewhere. */
  static RuleKind elsewhere(RuleId id, String meaning, Function<PackPlan, RuleSettings> defaults) {
    return new RuleKind(id, meaning, defaults, Optional.empty());
  }
}
