package org.cellherd.analysis.plausible;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * Sign of the current by what charge does to voltage, for boards too slow to show a step: over a
 * tenth of the rated charge or more the cells' mean rises when they are charged and falls when they
 * are discharged. Open-circuit voltage rises with charge in every chemistry, and polarisation grows
 * in the same direction.
 */
final class SignBySwing {
  private static final double SHARE = 0.1;

  /** Overvoltages have built up by then: what follows is not the step of the current itself. */
  private static final double SETTLED = 0.02;

  /** Two currents as alike as this differ by 5 mV at 1C in cells of 0.05 ohm Ah. */
  private static final double ALIKE = 0.1;

  private static final double LEAST_TENTH_MV = 100;
  private static final double HOUR_MS = 3_600_000;
  private static final int LEAST = 3;
  private static final int MOST = 1000;

  private static final double KNEE_SHARE = 0.02;

  private final double ratedMah;
  private final double kneeTenthMv;
  private double kneeMah;
  private double direction;
  private double mah;
  private double referenceMa;
  private double reference;
  private int right;
  private int wrong;

  SignBySwing(double ratedAh, AnalysisSettings settings) {
    ratedMah = ratedAh * 1000;
    boolean hasPlateau = settings.blindFromMv() < settings.blindToMv();
    kneeTenthMv = hasPlateau ? settings.kneeMv() * 10.0 : Double.POSITIVE_INFINITY;
  }

  void accept(Moment m) {
    int flowing = m.flowingMa();
    boolean isUsable = m.isJoined() && m.isComplete() && flowing != Moment.MISSING;
    double now = isUsable ? Math.signum(flowing) : 0;
    if (now != direction || now == 0) {
      direction = now;
      mah = 0;
      kneeMah = 0;
      referenceMa = 0;
      return;
    }
    double amount = Math.abs(flowing);
    double mean = m.sum() / (double) m.series();
    double step = amount * (m.stepMs() / HOUR_MS);
    mah += step;
    inKnee(m.median() >= kneeTenthMv, step);
    if (referenceMa == 0) {
      if (mah >= SETTLED * ratedMah) {
        refer(mean, amount);
      }
    } else if (mah >= SHARE * ratedMah && Math.abs(amount - referenceMa) <= ALIKE * referenceMa) {
      vote(mean, amount);
    }
  }

  private void refer(double mean, double amount) {
    reference = mean;
    referenceMa = amount;
    mah = 0;
  }

  /** Where the curve is flat, more charge is waited for. */
  private void vote(double mean, double amount) {
    double tenthMv = (mean - reference) * direction;
    if (Math.abs(tenthMv) < LEAST_TENTH_MV) {
      return;
    }
    count(tenthMv > 0);
    refer(mean, amount);
  }

  /** Counts once a stay. */
  private void inKnee(boolean isAbove, double step) {
    double before = kneeMah;
    kneeMah = isAbove ? kneeMah + step : 0;
    double enough = KNEE_SHARE * ratedMah;
    if (before < enough && kneeMah >= enough) {
      count(direction > 0);
    }
  }

  private void count(boolean isRight) {
    if (isRight) {
      right = Math.min(MOST, right + 1);
    } else {
      wrong = Math.min(MOST, wrong + 1);
    }
  }

  SignState sign() {
    if (wrong >= LEAST && wrong > 4 * right) {
      return SignState.INVERTED;
    }
    return right >= LEAST && right > 4 * wrong ? SignState.CONFIRMED : SignState.UNCONFIRMED;
  }

  void state(State io) {
    kneeMah = io.number(kneeMah);
    direction = io.number(direction);
    mah = io.number(mah);
    referenceMa = io.number(referenceMa);
    reference = io.number(reference);
    right = io.number(right);
    wrong = io.number(wrong);
  }
}
