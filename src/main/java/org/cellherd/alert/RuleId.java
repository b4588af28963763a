package org.cellherd.alert;

import java.util.regex.Pattern;

/**
 * The name of a rule. Each rule's own file has it; {@code alert.rule.Rules} lists all.
 *
 * @param word the word in topics, JSON, the config and the database: a-z and hyphens
 */
public record RuleId(String word) implements Comparable<RuleId> {
  private static final Pattern WORD = Pattern.compile("[a-z]+(-[a-z]+)*");

  /** Refuses what is no word. */
  public RuleId {
    if (!WORD.matcher(word).matches()) {
      throw new IllegalArgumentException("rule \"" + word + "\", allowed: a-z and hyphens");
    }
  }

  @Override
  public int compareTo(RuleId other) {
    return word.compareTo(other.word);
  }

  @Override
  public String toString() {
    return word;
  }
}
