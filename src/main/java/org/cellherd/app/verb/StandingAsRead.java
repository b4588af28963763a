package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Restarted;
import org.cellherd.alert.rule.Silent;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.alert.state.AlertText;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;

/** Alerts that are not over, as they are true at the moment at which somebody reads the log. */
public final class StandingAsRead {

  /** A running program writes within this: a minute to an alert's text, half of one at risk. */
  private static final long WRITTEN_MS = 90_000;

  private static final Set<RuleId> SHOWN_BY_SILENCE =
      Set.of(Silent.ID, StoreFault.ID, WrongBoard.ID, Restarted.ID);

  private StandingAsRead() {}

  /**
   * Those of a log: what is active before what is over, the critical first, the newest first. Where
   * its newest entry is older than a running program leaves it, or is a silence of the board, the
   * texts say since when nothing confirms them.
   */
  public static List<Alert> of(LogFile file, long nowMs, ZoneId zone) throws StorageFailure {
    List<Alert> read = new ArrayList<>();
    for (Alert alert : file.alertLog().standing()) {
      boolean isOver = alert.state() == AlertState.RETURNED;
      long writtenMs = file.newestMs(alert.key().pack()).orElse(alert.timeMs());
      read.add(
          isOver || (nowMs - writtenMs <= WRITTEN_MS && !isSilent(file, alert, writtenMs))
              ? alert
              : alert.saying(AlertText.read(alert.text(), alert.timeMs(), nowMs, zone)));
    }
    read.sort(
        Comparator.comparing((Alert a) -> a.state() == AlertState.RETURNED)
            .thenComparing(Alert::priority)
            .thenComparing(Alert::sinceMs, Comparator.reverseOrder()));
    return List.copyOf(read);
  }

  /** True when the log ends in a silence, except for what a silence shows as well as a reading. */
  private static boolean isSilent(LogFile file, Alert alert, long newestMs) throws StorageFailure {
    return !SHOWN_BY_SILENCE.contains(alert.key().rule())
        && file.statistics().gaps(alert.key().pack(), newestMs - 1, newestMs).stream()
            .anyMatch(gap -> gap.toMs() >= newestMs);
  }
}
