package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.analysis.BalanceView.Charge;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.Spoken;

/** The evidence for a verdict, in plain words. */
final class Reasons {
  /** Standard deviations to 95 %. */
  private static final double SURELY = 1.96;

  /** A share of a lead that is told as a reason why its bounds are wide. */
  private static final double LEAST_TOLD = 0.1;

  private final BalanceParts parts;
  private final Moment moment;
  private final BleedRate rate;

  Reasons(BalanceParts parts, Moment moment, BleedRate rate) {
    this.parts = parts;
    this.moment = moment;
    this.rate = rate;
  }

  List<String> list(State state, Charge charge) {
    List<String> reasons = new ArrayList<>();
    if (state == State.NOT_AT_TOP || state == State.UNKNOWN) {
      where(reasons);
    } else {
      movement(state, reasons);
    }
    charge(charge, reasons);
    lead(reasons);
    if (state == State.CONVERGING || state == State.STALLED) {
      reasons.add(
          String.format(Locale.ROOT, "bleed: %s", rate.source())
              + (rate.isSeen()
                  ? String.format(Locale.ROOT, ", %.0f mA", rate.decline().mid() * 1000)
                  : ""));
    }
    return reasons;
  }

  private void where(List<String> reasons) {
    if (moment.present() == 0) {
      reasons.add("the board reports no cell voltages");
    } else if (moment.highest() < parts.settings.kneeMv() * 10) {
      reasons.add(
          "the highest cell is below "
              + parts.settings.kneeMv()
              + " mV, where voltage does not"
              + " tell charge");
    } else {
      reasons.add("at the top for too short a time to see a movement");
    }
  }

  private void movement(State state, List<String> reasons) {
    FadingLine lead = parts.watch.lead();
    FadingLine spread = parts.watch.spread();
    if (state == State.BALANCED && parts.watch.isAsEvenAsItGets()) {
      reasons.add(
          String.format(
              Locale.ROOT,
              "a spread of %.0f mV, which the board cannot tell from %d mV, and a lead that has"
                  + " stood still",
              parts.watch.smoothMv(),
              parts.settings.balancedMv()));
    } else if (state == State.BALANCED) {
      reasons.add(
          "spread at most "
              + parts.settings.balancedMv()
              + " mV for "
              + parts.watch.balancedMs(moment.upMs()) / 60_000
              + " min with little current");
    } else if (lead.count() >= 20) {
      Estimate s = lead.slope();
      reasons.add(
          String.format(
              Locale.ROOT,
              "the greatest lead changes by %s Ah an hour (within %.3f) over %.1f h",
              Spoken.signed(s.mid(), 3),
              s.half(),
              lead.span()));
    } else if (spread.count() >= 20) {
      reasons.add(
          String.format(
              Locale.ROOT,
              "the spread changes by %s mV an hour over %.1f h",
              Spoken.signed(spread.slope().mid(), 1),
              spread.span()));
    }
  }

  private void charge(Charge charge, List<String> reasons) {
    switch (charge) {
      case FLOWING -> reasons.add("charge flows");
      case HELD -> reasons.add(held());
      case FLOAT -> reasons.add("the charger floats below its charge voltage");
      case BOUNCING ->
          parts
              .trips
              .bounce(moment)
              .ifPresent(
                  b ->
                      reasons.add(
                          String.format(
                              Locale.ROOT,
                              "cell %d makes the board stop the charge every %.0f min, %s so"
                                  + " far: a lower charge voltage would end that",
                              b.cell(),
                              b.periodMin(),
                              Spoken.counted(b.allTrips(), "time"))));
      case ABSENT -> reasons.add("no charge");
    }
  }

  /** A pack that relaxes slowly with its charger off looks much like one that is held. */
  private String held() {
    double below = parts.belowChargeMv();
    return below <= Trips.HELD_WITHIN_MV
        ? "held at the top by the charger with no current that shows"
        : String.format(
            Locale.ROOT,
            "at the top with no current that shows, %.0f mV a cell below the charge voltage:"
                + " perhaps the charger is off",
            below);
  }

  /** By the same bounds that are told of each cell. */
  private void lead(List<String> reasons) {
    List<Lead> leads = parts.leadsNow();
    if (leads.isEmpty()) {
      reasons.add(
          parts.estimator.isContradicted()
              ? "the cells of this charge do not fit one curve, so no lead is given"
              : "no cell has come to its knee, or the current still hides where the cells stand");
    } else if (leads.stream().anyMatch(lead -> Double.isInfinite(lead.ah().high()))) {
      reasons.add("not every lead has an upper bound yet");
    }
    double within = SURELY * parts.estimator.switched();
    if (!leads.isEmpty() && within >= LEAST_TOLD) {
      reasons.add(
          String.format(
              Locale.ROOT,
              "the current rose and fell while cells climbed in the knee: that alone leaves leads"
                  + " open by %.0f %%",
              100 * within));
    }
  }
}
