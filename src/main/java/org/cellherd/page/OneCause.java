package org.cellherd.page;

import java.util.Set;
import org.cellherd.alert.Alert;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Bouncing;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.LimitAhead;
import org.cellherd.alert.rule.Runner;

/** Which alerts are of one cause, so that people see one thing to do. */
final class OneCause {

  /** A cell at the end of its voltage, said sooner and later, harder and softer. */
  private static final Set<RuleId> OF_ONE_CELL =
      Set.of(CellHigh.ID, CellLow.ID, LimitAhead.ID, Runner.ID, Bouncing.ID);

  private OneCause() {}

  /** The same for alerts of one cause; else an alert's own. */
  static String of(Alert alert) {
    int cell = alert.key().cell();
    boolean isShared = cell > 0 && OF_ONE_CELL.contains(alert.key().rule());
    return isShared ? alert.key().pack() + "/cell-" + cell : alert.id();
  }
}
