package org.cellherd.analysis.balance;

import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.Facts;

/** Says what one charge that came to the top has shown. */
final class FullChargeReport {
  private final BalanceParts parts;
  private final Moment moment;

  FullChargeReport(BalanceParts parts, Moment moment) {
    this.parts = parts;
    this.moment = moment;
  }

  Finding finding(double spreadMv, double highestMv, int highestCell) {
    ChargeEpisode charge = parts.episode;
    State verdict = parts.verdict();
    Facts facts =
        Facts.of()
            .putTime("at", moment.wallMs(charge.lastTopUpMs()))
            .put("end", charge.end().word())
            .put("state", verdict.word())
            .put("charged_ah", charge.chargedAh(), 3)
            .put("hours", (charge.lastTopUpMs() - charge.startUpMs()) / 3_600_000.0, 2)
            .put("spread_mv", spreadMv, 1)
            .put("highest_cell", highestCell)
            .put("highest_mv", highestMv, 1)
            .put("trips", parts.trips.all())
            .put("lead", LeadTable.facts(parts.leads.leads()))
            .put("lead_growth", parts.history.growthFacts())
            .build();
    return new Finding(
        FindingName.FULL_CHARGE,
        moment.wallMs(charge.startUpMs()),
        moment.wallMs(charge.lastTopUpMs()),
        facts,
        sentence(verdict, spreadMv));
  }

  private String sentence(State verdict, double spreadMv) {
    String how =
        switch (parts.episode.end()) {
          case TAIL -> "Charged until the current had faded";
          case FIRST_CELL -> "Charged until the first full cell made the board stop";
          case ABSORB_TIMER -> "Charged until the charger stopped by its own timer";
          case UNKNOWN -> "Charged to the top";
        };
    if (verdict == State.BALANCED) {
      return how + "; balanced, the cells were within " + BalanceWords.mv(spreadMv) + ".";
    }
    return Astray.of(parts.leads.leads())
        .filter(a -> a.ah().high() > 0)
        .map(a -> how + "; cell " + a.words("was") + ".")
        .orElseGet(() -> how + "; the cells ended " + BalanceWords.mv(spreadMv) + " apart.");
  }
}
