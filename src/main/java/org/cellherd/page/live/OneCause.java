package org.cellherd.page.live;

import java.util.Set;
import org.cellherd.alert.Alert;
import org.cellherd.alert.RuleId;

/** Which alerts are of one cause, so that people see one thing to do. */
final class OneCause {

  /** A cell at the end of its voltage, said sooner and later, harder and softer. */
  private static final Set<RuleId> OF_ONE_CELL =
      Set.of(RuleId.CELL_HIGH, RuleId.CELL_LOW, RuleId.LIMIT_AHEAD, RuleId.RUNNER, RuleId.BOUNCE);

  private OneCause() {}

  /** The same for alerts of one cause; else an alert's own. */
  static String of(Alert alert) {
    int cell = alert.key().cell();
    boolean isShared = cell > 0 && OF_ONE_CELL.contains(alert.key().rule());
    return isShared ? alert.key().pack() + "/cell-" + cell : alert.id();
  }
}
