package org.cellherd.alert.rule;

import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.state.Judgement;
import org.cellherd.analysis.state.State;

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
}
