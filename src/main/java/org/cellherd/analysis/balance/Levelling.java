package org.cellherd.analysis.balance;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.Levelled;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.jspecify.annotations.Nullable;

/**
 * What one charge did to the balance, kept until the next begins: which cell stood apart before it
 * was bled, and when the pack was balanced.
 */
final class Levelling {
  static final Apart NOT_APART = new Apart(0, false, Interval.exactly(0));

  private final double[] bledBefore;
  private @Nullable Apart apart;
  private long balancedUpMs = -1;

  Levelling(int cells) {
    bledBefore = new double[cells];
  }

  /**
   * A new charge begins.
   *
   * @param bledHours how long each cell was bled since the log began
   */
  void begin(double[] bledHours) {
    apart = null;
    balancedUpMs = -1;
    System.arraycopy(bledHours, 0, bledBefore, 0, bledBefore.length);
  }

  /**
   * Takes leads as they are now and adds what was bled in this charge. Early ones are wide: the
   * greatest lower bound says most of how it was at first.
   *
   * @param bleedA by what current a cell was bled, A
   */
  void take(List<Lead> leads, double[] bledHours, Interval bleedA) {
    double most = apart == null ? 0 : apart.ah().low();
    apart = apart(leads, bledHours, bleedA).filter(now -> now.ah().low() > most).orElse(apart);
  }

  private Optional<Apart> apart(List<Lead> leads, double[] bledHours, Interval bleedA) {
    return OutlierCell.of(unbled(leads, bledHours, bleedA))
        .map(OutlierCell::apart)
        .filter(now -> now.ah().low() > 0);
  }

  private List<Lead> unbled(List<Lead> leads, double[] bledHours, Interval bleedA) {
    return leads.stream()
        .map(l -> new Lead(l.cell(), plus(l.ah(), bleedA, hours(l.cell() - 1, bledHours))))
        .toList();
  }

  private double hours(int cell, double[] bledHours) {
    return bledHours[cell] - bledBefore[cell];
  }

  private static Interval plus(Interval ah, Interval amperes, double hours) {
    return new Interval(
        ah.low() + amperes.low() * hours,
        ah.mid() + amperes.mid() * hours,
        ah.high() + amperes.high() * hours);
  }

  /** The pack is balanced at a fold time; the first one counts. */
  void balanced(long upMs) {
    balancedUpMs = balancedUpMs < 0 ? upMs : balancedUpMs;
  }

  /** What is known of it by now; by leads of now until some are kept. */
  Levelled view(Moment moment, List<Lead> leads, double[] bledHours, Interval bleedA) {
    return new Levelled(
        Optional.ofNullable(apart).or(() -> apart(leads, bledHours, bleedA)),
        balancedUpMs < 0 ? OptionalLong.empty() : OptionalLong.of(moment.wallMs(balancedUpMs)));
  }

  void state(State io) {
    io.each(bledBefore);
    balancedUpMs = io.number(balancedUpMs);
    apart = io.orNull(apart, NOT_APART, Levelling::state);
  }

  static Apart state(Apart now, State io) {
    return new Apart(io.number(now.cell()), io.flag(now.isBehind()), now.ah().state(io));
  }
}
