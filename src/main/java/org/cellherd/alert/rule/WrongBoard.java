package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.pack.PackPlan;

/** Another board answers than the pack's own. */
public final class WrongBoard extends Reported {
  public static final RuleId ID = new RuleId("wrong-board");

  static final Rule.Kind KIND =
      Rule.Kind.of(ID, "another board answers than before.", WrongBoard::defaults, WrongBoard::new);

  private WrongBoard(RuleSettings set) {
    // A second stranger is another cause: who saw the first has not seen it.
    super(Terms.plain(set, "").ofItsWords());
  }

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL).delays(0, 0).repeatedAfter(6);
  }

  /**
   * Which board answers.
   *
   * @param isOurs true when it is the pack's own
   * @param before how the pack's board names itself
   * @param now how the answering one does
   */
  public void answers(boolean isOurs, String before, String now) {
    report(
        !isOurs,
        "Another board answers: " + now + " instead of " + before,
        "Plug the adapter of this pack back in; its cells are not being watched. If you replaced"
            + " the board, acknowledge this alert with --new-board.");
  }
}
