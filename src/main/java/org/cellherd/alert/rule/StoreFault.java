package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;

/** The log cannot be written; or it found damage in itself, which is a single notice. */
public final class StoreFault extends Reported {
  public static final RuleId ID = new RuleId("store");

  /** What to do first where something of the log was damaged, is lost or was not as left. */
  public static final String AFTER_DAMAGE = "Back up the log now, then check the card or disk.";

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID, "the log cannot be written, or is damaged.", StoreFault::defaults, StoreFault::new);

  private StoreFault(RuleSettings set) {
    super(set);
  }

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING).delays(0, 0).repeatedAfter(6);
  }

  /**
   * The log can or cannot be written.
   *
   * @param what what the system said, one clause
   */
  public void works(boolean works, String what) {
    report(
        !works,
        "Readings are not being stored: " + what,
        "Check that the disk has free space and can be written, and that the log file is in its"
            + " place. Alerts still work.");
  }

  /** The log lost something and went on, or its times cannot all be right. */
  public static Words notice(String what, String step) {
    return Words.of(what, step, Facts.NONE);
  }
}
