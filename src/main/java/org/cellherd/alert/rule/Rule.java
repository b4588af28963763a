package org.cellherd.alert.rule;

import java.util.Optional;
import java.util.function.BiFunction;
import java.util.function.Function;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/** One rule: looks at a moment and says what it sees of each cell, or of the pack. */
public abstract class Rule {

  private final Terms terms;

  Rule(Terms terms) {
    this.terms = terms;
  }

  /** What does not change. */
  public final Terms terms() {
    return terms;
  }

  /** Looks at every entry, before it is judged or not. */
  public void watch(RuleInput input) {}

  /** True while this rule cannot tell yet whether something critical begins: read on at once. */
  public boolean asksAgain() {
    return false;
  }

  /**
   * Judges a moment. A key for which nothing is said cannot be judged now: its alert stands still.
   */
  public abstract void judge(RuleInput input, Verdicts out);

  /** What the rule remembers. */
  public void state(State io) {}

  /** Where judgements go. */
  @FunctionalInterface
  public interface Verdicts {

    /**
     * False where a judgement would change nothing, so that it need not be made: there was never
     * anything wrong with that cell, nor is there now.
     *
     * @param level as in {@link Judgement#level}
     */
    default boolean needs(int cell, int level) {
      return true;
    }

    /** True while people know of that cell's alert and it is not over. */
    default boolean isActive(int cell) {
      return false;
    }

    /**
     * Says what is seen.
     *
     * @param cell cell number from 1, or 0 for the pack
     * @param judgement what is seen
     */
    void judge(int cell, Judgement judgement);
  }

  /**
   * A rule before there is a pack: each rule's file has one, and {@link Rules} lists them.
   *
   * @param id its name
   * @param meaning what an alert of it says, one line of the reference for people
   * @param defaults its settings for a plan, by chemistry and ratings
   * @param maker makes it for one pack, by the settings of all rules; empty where something else
   *     than a pack's log is judged
   */
  public record Kind(
      RuleId id,
      String meaning,
      Function<PackPlan, RuleSettings> defaults,
      Optional<BiFunction<PackPlan, AlertSettings, Rule>> maker) {

    /** A rule that looks at the log of one pack, by its own settings. */
    static Kind of(
        RuleId id,
        String meaning,
        Function<PackPlan, RuleSettings> defaults,
        Function<RuleSettings, Rule> maker) {
      return ofAll(id, meaning, defaults, (plan, all) -> maker.apply(all.rule(id)));
    }

    /** The same of a rule that looks at the plan too. */
    static Kind ofPlan(
        RuleId id,
        String meaning,
        Function<PackPlan, RuleSettings> defaults,
        BiFunction<PackPlan, RuleSettings, Rule> maker) {
      return ofAll(id, meaning, defaults, (plan, all) -> maker.apply(plan, all.rule(id)));
    }

    /** The same of a rule that looks at the settings of others too. */
    static Kind ofAll(
        RuleId id,
        String meaning,
        Function<PackPlan, RuleSettings> defaults,
        BiFunction<PackPlan, AlertSettings, Rule> maker) {
      return new Kind(id, meaning, defaults, Optional.of(maker));
    }

    /** A rule that is judged elsewhere. */
    static Kind elsewhere(RuleId id, String meaning, Function<PackPlan, RuleSettings> defaults) {
      return new Kind(id, meaning, defaults, Optional.empty());
    }
  }
}
