package org.cellherd.alert.rule;

import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.AlertText;
import org.cellherd.alert.state.Pulse;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** The program runs again, and not from an orderly end of the same log: a single notice. */
public final class Restarted {
  public static final RuleId ID = new RuleId("restarted");

  static final Rule.Kind KIND =
      Rule.Kind.elsewhere(
          ID,
          "the program did not shut down cleanly, or goes on with a restored log.",
          Restarted::defaults);

  private Restarted() {}

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING).delays(0, 0).repeatedAfter(0);
  }

  /**
   * What was missed, and what is active.
   *
   * @param quietMs time without a log before, ms; -1 when it cannot be known
   * @param active the alerts that are active
   */
  public static Words words(long quietMs, List<Alert> active, Pulse pulse) {
    String gap =
        quietMs < 0
            ? "for an unknown time"
            : "for "
                + Spoken.duration(quietMs)
                + " from "
                + AlertText.time(pulse.timeMs() - quietMs, pulse.timeMs(), pulse.zone());
    return Words.of(
        "The program did not shut down cleanly and is running again. Nothing was watched %s. %s"
            .formatted(gap, active(active)),
        "Check what stopped it: power, memory, storage.",
        facts(quietMs, active, pulse));
  }

  /**
   * The log is a copy, as after a restore: nothing is said of how the program ended.
   *
   * @param endMs when the copy ends by its own clock, ms UTC; -1 when nothing is known
   * @param active the alerts that are active by the copy
   */
  public static Words fromCopy(long endMs, List<Alert> active, Pulse pulse) {
    String end =
        endMs < 0 ? "" : ", which ends at " + AlertText.time(endMs, pulse.timeMs(), pulse.zone());
    return Words.of(
        "The program goes on with a log restored from a copy%s; nothing later is in it. %s"
            .formatted(end, active(active)),
        "Keep the original log if there is one: it may hold what is missing here.",
        facts(endMs < 0 ? -1 : Math.max(0, pulse.timeMs() - endMs), active, pulse));
  }

  private static Facts facts(long quietMs, List<Alert> active, Pulse pulse) {
    return Facts.of()
        .put("session", pulse.session())
        .put("gap_s", quietMs < 0 ? Double.NaN : quietMs / 1000.0, 1)
        .put("open_alerts", active.stream().map(Alert::id).toList())
        .build();
  }

  private static String active(List<Alert> active) {
    if (active.isEmpty()) {
      return "No alert is active.";
    }
    return "Active: "
        + active.stream().map(a -> a.key().topic()).collect(Collectors.joining(", "))
        + ".";
  }
}
