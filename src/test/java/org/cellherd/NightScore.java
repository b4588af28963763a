package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Interval;
import org.cellherd.sim.Scenario;

/**
 * How well the top-balance watch knew what is really so, over nights that came to balance: leads
 * against the cells' own charge, forecasts against the time at which the pack was balanced.
 */
public final class NightScore {
  private static final long LOOK_EACH_MS = 600_000;

  /** A lead of which next to nothing is known yet is not claimed. */
  private static final double MOST_KNOWN_AH = 3;

  private int nights;
  private int balanced;
  private int forecasts;
  private int held;
  private int halves;
  private int narrow;
  private int leads;
  private int near;
  private int within;
  private double leftAh;

  /** What was said at one time. */
  private record Look(double hours, double trueLeadAh, Interval lead, Interval eta) {}

  /** Runs one night and adds it up. */
  public void add(Scenario scenario) {
    List<Look> looks = new ArrayList<>();
    double[] balancedH = {Double.NaN};
    new SimulatedRun(scenario, false)
        .run(
            LOOK_EACH_MS,
            run -> {
              BalanceView view = run.analysis().balance();
              if (view.state() == State.BALANCED) {
                balancedH[0] = run.hours();
                leftAh = Math.max(leftAh, run.truth().greatestLeadAh());
                run.stop();
              } else if (view.state() == State.CONVERGING) {
                look(run, view).ifPresent(looks::add);
              }
            });
    nights++;
    looks.forEach(this::lead);
    if (!Double.isNaN(balancedH[0])) {
      balanced++;
      forecast(looks, balancedH[0]);
    }
  }

  private static Optional<Look> look(SimulatedRun run, BalanceView view) {
    Lead most = null;
    for (Lead lead : view.leads()) {
      most = most == null || lead.ah().mid() > most.ah().mid() ? lead : most;
    }
    if (most == null || view.etaHours().isEmpty()) {
      return Optional.empty();
    }
    double truth = run.truth().leadAh(most.cell());
    return Optional.of(new Look(run.hours(), truth, most.ah(), view.etaHours().get()));
  }

  private void lead(Look look) {
    if (look.lead.high() < MOST_KNOWN_AH) {
      leads++;
      double off = Math.abs(look.lead.mid() - look.trueLeadAh);
      near += off <= Math.max(0.1, 0.05 * look.trueLeadAh) ? 1 : 0;
      within += look.lead.holds(look.trueLeadAh) ? 1 : 0;
    }
  }

  private void forecast(List<Look> looks, double balancedH) {
    if (looks.isEmpty()) {
      return;
    }
    double half = (looks.get(0).hours + balancedH) / 2;
    double reach = LOOK_EACH_MS / 3_600_000.0 / 2 + 0.01;
    for (Look look : looks) {
      forecasts++;
      held += look.eta.holds(balancedH - look.hours) ? 1 : 0;
      if (Math.abs(look.hours - half) < reach) {
        halves++;
        narrow += look.eta.high() <= 2 * look.eta.low() ? 1 : 0;
      }
    }
  }

  /** Share of nights that came to balance. */
  public double balancedShare() {
    return share(balanced, nights);
  }

  /** Share of forecasts whose interval held the hours that it really took. */
  public double heldShare() {
    return share(held, forecasts);
  }

  /** Share of forecasts at half-time whose interval was narrower than a factor of two. */
  public double narrowShare() {
    return share(narrow, halves);
  }

  /** Share of leads within 5 % or 0.1 Ah of the truth. */
  public double nearShare() {
    return share(near, leads);
  }

  /** Share of leads whose interval held the truth. */
  public double withinShare() {
    return share(within, leads);
  }

  private static double share(int part, int all) {
    return all == 0 ? Double.NaN : part / (double) all;
  }

  @Override
  public String toString() {
    return String.format(
        Locale.ROOT,
        "%d nights, %d balanced with %.2f Ah left at most; forecast held %.0f %% of %d, narrow at"
            + " half-time %.0f %%; lead near %.0f %%, interval held %.0f %% of %d",
        nights,
        balanced,
        leftAh,
        100 * heldShare(),
        forecasts,
        100 * narrowShare(),
        100 * nearShare(),
        100 * withinShare(),
        leads);
  }
}
