package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PlainText;

/** Somebody asked for a test: a single notice. */
public final class TestAlert {
  public static final RuleId ID = new RuleId("test");

  static final Rule.Kind KIND =
      Rule.Kind.elsewhere(ID, "somebody asked for a test alert.", TestAlert::defaults);

  private TestAlert() {}

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE).delays(0, 0).repeatedAfter(0);
  }

  public static Words words(String by) {
    return Words.of(
        "This is a test, asked for by " + PlainText.spaced(by) + ". Nothing is wrong.",
        "Nothing to do.",
        Facts.NONE);
  }
}
