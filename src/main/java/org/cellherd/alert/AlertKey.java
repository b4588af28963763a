package org.cellherd.alert;

/**
 * Which alert: a rule of a pack, for one cell or for the whole pack.
 *
 * @param pack the pack's id
 * @param rule the rule
 * @param cell cell number from 1, or 0 for the whole pack
 */
public record AlertKey(String pack, RuleId rule, int cell) {
  /** Topic below the pack: {@code cell-high/cell-3} or {@code silent}. */
  public String topic() {
    return cell == 0 ? rule.word() : rule.word() + "/cell-" + cell;
  }
}
