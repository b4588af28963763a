package org.cellherd.alert.news;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.pack.Facts;

/**
 * A pack in one sentence and the few numbers that matter.
 *
 * @param timeMs of the newest entry, ms UTC
 * @param sentence what is happening now
 * @param worst of the active alerts; what is over and waits to be seen does not count
 * @param openAlerts how many are active
 * @param spreadMv highest minus lowest cell
 * @param socPct state of charge
 * @param etaHours hours to balanced
 * @param daysSinceFull since the pack was last at its top
 * @param bank what its bank carries and its share; empty for a pack of none
 */
public record PackSummary(
    long timeMs,
    String sentence,
    Optional<Priority> worst,
    int openAlerts,
    OptionalDouble spreadMv,
    Optional<Interval> socPct,
    Optional<Interval> etaHours,
    OptionalDouble daysSinceFull,
    Optional<Facts> bank) {

  private static final double MS_PER_DAY = 86_400_000;

  /** Collects what the analyses and the alerts know; on their thread. */
  public static PackSummary of(
      PackView view, List<Alert> standing, String sentence, Optional<Facts> bank) {
    List<Alert> open = standing.stream().filter(a -> a.state() != AlertState.RETURNED).toList();
    BalanceView balance = view.balance();
    return new PackSummary(
        view.timeMs(),
        sentence,
        open.stream().map(Alert::priority).min(Comparator.naturalOrder()),
        open.size(),
        balance.spreadMv(),
        view.socPct(),
        balance.etaHours(),
        sinceFullDays(view.sinceFullMs()),
        bank);
  }

  private static OptionalDouble sinceFullDays(OptionalLong ms) {
    return ms.isPresent() ? OptionalDouble.of(ms.getAsLong() / MS_PER_DAY) : OptionalDouble.empty();
  }

  /** The JSON of the topic {@code <pack>/summary}. */
  public Facts facts() {
    Facts.Builder b =
        Facts.of()
            .putTime("time", timeMs)
            .put("sentence", sentence)
            .put("worst", worst.map(Priority::word).orElse(null))
            .put("open_alerts", openAlerts)
            .put("spread_mv", spreadMv, 1);
    put(b, "soc_pct", socPct);
    put(b, "eta_h", etaHours);
    b.put("days_since_full", daysSinceFull, 1);
    bank.ifPresent(shares -> b.put("bank", shares));
    return b.build();
  }

  private static void put(Facts.Builder b, String name, Optional<Interval> interval) {
    if (interval.isEmpty()) {
      b.putUnknown(name);
      return;
    }
    boolean isOpen = Double.isInfinite(interval.get().high());
    b.put(
        name,
        Facts.of()
            .putLow("low", interval.get().low(), 1)
            .put("mid", isOpen ? Double.NaN : interval.get().mid(), 1)
            .putHigh("high", interval.get().high(), 1)
            .build());
  }
}
