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

  private @Nullable Apart apart;
  private long balancedUpMs = -1;

  /** A new charge begins. */
  void begin() {
    apart = null;
    balancedUpMs = -1;
  }

  /**
   * Takes leads as measured. Early ones are wide and late ones lack what was bled since: the
   * greatest lower bound says most of how it was at first.
   */
  void take(List<Lead> leads) {
    OutlierCell now = OutlierCell.of(leads).orElse(null);
    if (now != null && now.ah().low() > (apart == null ? 0 : apart.ah().low())) {
      apart = new Apart(now.cell(), now.isBehind(), now.ah());
    }
  }

  /** The pack is balanced at a fold time; the first one counts. */
  void balanced(long upMs) {
    balancedUpMs = balancedUpMs < 0 ? upMs : balancedUpMs;
  }

  /** What is known of it by now. */
  Levelled view(Moment moment) {
    return new Levelled(
        Optional.ofNullable(apart),
        balancedUpMs < 0 ? OptionalLong.empty() : OptionalLong.of(moment.wallMs(balancedUpMs)));
  }

  void state(State io) {
    balancedUpMs = io.number(balancedUpMs);
    apart = io.orNull(apart, NOT_APART, Levelling::state);
  }

  static Apart state(Apart now, State io) {
    return new Apart(io.number(now.cell()), io.flag(now.isBehind()), now.ah().state(io));
  }
}
