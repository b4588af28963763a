package org.cellherd.analysis.balance;

import org.cellherd.analysis.BalanceView.Levelled;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.FullChargeResult.CellLead;
import org.cellherd.pack.SpokenTime;

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
    Levelled levelled = parts.levelled();
    FullChargeResult result =
        new FullChargeResult(
            moment.wallMs(charge.lastTopUpMs()),
            charge.end(),
            verdict,
            charge.chargedAh(),
            (charge.lastTopUpMs() - charge.startUpMs()) / 3_600_000.0,
            spreadMv,
            highestCell,
            highestMv,
            parts.trips.all(),
            parts.leadsNow().stream().map(l -> new CellLead(l.cell(), l.ah())).toList(),
            parts.cellGrowth(),
            levelled.apart().map(BalanceReport::told),
            levelled.balancedAtMs());
    return new Finding(
        moment.wallMs(charge.startUpMs()),
        moment.wallMs(charge.lastTopUpMs()),
        result,
        sentence(verdict, spreadMv, levelled));
  }

  private String sentence(State verdict, double spreadMv, Levelled levelled) {
    String how =
        switch (parts.episode.end()) {
          case TAIL -> "Charged until the current had faded";
          case FIRST_CELL -> "Charged until the first full cell made the board stop";
          case ABSORB_TIMER -> "Charged until the charger stopped by its own timer";
          case UNKNOWN, NONE -> "Charged to the top";
        };
    if (verdict == State.BALANCED) {
      return how
          + levelled.apart().map(a -> "; cell " + BalanceWords.was(a)).orElse("")
          + balanced(levelled);
    }
    return parts
        .endedApart()
        .map(a -> how + "; cell " + ended(a, levelled) + ".")
        .orElseGet(() -> how + "; the cells ended " + BalanceWords.mv(spreadMv) + " apart.");
  }

  private String balanced(Levelled levelled) {
    String at =
        levelled.balancedAtMs().isPresent()
            ? " at " + SpokenTime.minute(levelled.balancedAtMs().getAsLong(), parts.settings.zone())
            : "";
    return (levelled.apart().isPresent() ? ", balanced" : "; balanced") + at + ".";
  }

  /** How far apart a cell began and ended, where that differs for sure. */
  static String ended(OutlierCell end, Levelled levelled) {
    return levelled
        .apart()
        .filter(a -> a.cell() == end.cell() && a.ah().low() > end.ah().high())
        .map(
            a ->
                end.words("was still")
                    + ", "
                    + BalanceWords.much(a.ah())
                    + " before the board bled"
                    + BalanceWords.bounds(a.ah()))
        .orElseGet(() -> end.words("was"));
  }
}
