package org.cellherd.analysis.balance;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.FullChargeResult;

/**
 * The cell that stands apart from the herd: mostly the first one, but where all others are ahead of
 * the last one by much the same, it is that last one which lacks charge.
 *
 * @param cell from 1
 * @param isBehind true where it lacks charge, false where it is ahead
 * @param ah by how much, behind the last but one or ahead of the last
 */
public record OutlierCell(int cell, boolean isBehind, Interval ah) {

  /** Two cells are no herd: either may be said to stand apart. */
  private static final int LEAST_CELLS = 3;

  /** Less is not worth a word. */
  private static final double LEAST_AH = 0.05;

  private static final Comparator<Lead> BY_LEAD = Comparator.comparingDouble(l -> l.ah().mid());

  /** The cell to name, of the leads known; nothing where none is known. */
  public static Optional<OutlierCell> of(List<Lead> leads) {
    return laggard(leads)
        .or(
            () ->
                leads.stream()
                    .max(BY_LEAD)
                    .map(lead -> new OutlierCell(lead.cell(), false, lead.ah())));
  }

  /** One that was found before. */
  static OutlierCell of(Apart apart) {
    return new OutlierCell(apart.cell(), apart.isBehind(), apart.ah());
  }

  /** To be kept: rounded once as a log holds it, so that all who say it later say the same. */
  Apart apart() {
    return new Apart(cell, isBehind, ah.to(FullChargeResult.Apart.DECIMALS));
  }

  /** The same where no other cell can be the one: an order within the errors is none. */
  static Optional<OutlierCell> surely(List<Lead> leads) {
    return of(leads).filter(a -> a.ah().low() > 0 && (a.isBehind() || a.isFirst(leads)));
  }

  private boolean isFirst(List<Lead> leads) {
    return leads.stream()
        .filter(l -> l.cell() != cell)
        .allMatch(
            l ->
                ah.mid() - l.ah().mid()
                    >= Math.max(ah.mid() - ah.low(), l.ah().high() - l.ah().mid()));
  }

  private static Optional<OutlierCell> laggard(List<Lead> leads) {
    if (leads.size() < LEAST_CELLS) {
      return Optional.empty();
    }
    List<Lead> sorted = leads.stream().sorted(BY_LEAD).toList();
    List<Lead> others = sorted.subList(1, sorted.size());
    double low = others.stream().mapToDouble(l -> l.ah().low()).min().orElse(0);
    double mid = others.get(0).ah().mid();
    double high = others.stream().mapToDouble(l -> l.ah().high()).min().orElse(0);
    boolean isApart = low >= LEAST_AH && mid > others.get(others.size() - 1).ah().mid() / 2;
    return isApart
        ? Optional.of(new OutlierCell(sorted.get(0).cell(), true, new Interval(low, mid, high)))
        : Optional.empty();
  }

  /** "3 is 0.7 Ah ahead", "4 is at least 2.2 Ah behind all others"; before it stands "cell". */
  public String words(String is) {
    return cell
        + " "
        + is
        + " "
        + BalanceWords.lead(ah)
        + (isBehind ? " behind all others" : " ahead");
  }
}
