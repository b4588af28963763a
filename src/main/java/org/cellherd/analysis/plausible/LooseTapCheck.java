package org.cellherd.analysis.plausible;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * A bad contact of one sense wire lifts one cell by what it takes from the next, so that both
 * wander oppositely while the sum stays. Two real cells do so only where a charger keeps their sum:
 * readings of a hold or of a knee are not looked at.
 *
 * <p>Wander is what is left of a cell's distance to the median after its mean of some minutes is
 * taken off; a step of the current moves the mean with it, since cells of unlike resistance part
 * there. Deviations from the wander's own mean count: two real cells that drift apart steadily, as
 * cells of unlike charge do where the curve bends, have a wander that stands still, while a contact
 * comes and goes. A pair is suspected at a correlation below -0.9 over many readings with at least
 * 2 mV of wander each (levels: common practice, no source), once it has swung from side to side ten
 * times. Two cells that come together after a deep discharge are one swing each, and one swing is
 * always like or unlike another, however many readings it has; ten that have nothing to do with
 * each other are so unlike in 2 of 10,000 cases (Student's t of 8 degrees of freedom).
 */
final class LooseTapCheck implements Check {
  private static final double SLOW_MS = 300_000;
  private static final double LONG_MS = 900_000;
  private static final int LEAST_READINGS = 60;
  private static final double LEAST_MV = 2;
  private static final double LEAST_CORRELATION = -0.9;
  private static final int LEAST_SWINGS = 10;

  /** Cells of unlike resistance part for minutes after a step, oppositely about the median. */
  private static final long STEADY_MS = 180_000;

  private final int cells;
  private final int kneeTenthMv;
  private final int lowKneeTenthMv;
  private final double[] slow;
  private final double[] wander;
  private final double[] mean;
  private final double[] square;
  private final double[] product;

  /** By the later cell of a pair: how often it swung while it looked loose, and where it is. */
  private final int[] swings;

  private final int[] side;
  private int readings;
  private long lastStepUpMs = -1;
  private boolean isNewLevel;
  private long sinceUpMs = -1;
  private int tap;

  LooseTapCheck(int cells, int kneeMv, int lowKneeMv) {
    this.cells = cells;
    this.kneeTenthMv = kneeMv * 10 - 200;
    this.lowKneeTenthMv = lowKneeMv * 10;
    slow = new double[cells];
    wander = new double[cells];
    mean = new double[cells];
    square = new double[cells];
    product = new double[cells];
    swings = new int[cells];
    side = new int[cells];
  }

  @Override
  public void accept(Moment m, Reading reading) {
    boolean isTelling = m.isComplete() && isTelling(m);
    if (isStep(m) || !isTelling) {
      lastStepUpMs = m.upMs();
      isNewLevel = true;
    }
    if (!isTelling) {
      return;
    }
    boolean isSettled = lastStepUpMs < 0 || m.upMs() - lastStepUpMs >= STEADY_MS;
    if (!m.isJoined() || !isSettled) {
      return;
    }
    take(m);
    if (readings >= LEAST_READINGS) {
      judge(m);
    }
  }

  private boolean isTelling(Moment m) {
    Phase now = m.phase();
    return now != Phase.HOLD
        && now != Phase.UPPER_KNEE
        && now != Phase.LOWER_KNEE
        && m.highest() < kneeTenthMv
        && m.lowest() > lowKneeTenthMv;
  }

  private static boolean isStep(Moment m) {
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    return now == Moment.MISSING
        || before == Moment.MISSING
        || Math.abs(now - before) > Math.max(500, Math.abs(before) / 10);
  }

  private void take(Moment m) {
    double ws = readings == 0 ? 1 : m.stepMs() / (m.stepMs() + SLOW_MS);
    double wl = m.stepMs() / (m.stepMs() + LONG_MS);
    for (int i = 0; i < cells; i++) {
      double distance = (m.cell(i + 1) - m.median()) / 10.0;
      slow[i] = isNewLevel ? distance - wander[i] : slow[i] + (distance - slow[i]) * ws;
      wander[i] = distance - slow[i];
      mean[i] += (wander[i] - mean[i]) * wl;
      square[i] += (wander[i] * wander[i] - square[i]) * wl;
      if (i > 0) {
        product[i] += (wander[i] * wander[i - 1] - product[i]) * wl;
      }
    }
    isNewLevel = false;
    readings = Math.min(LEAST_READINGS, readings + 1);
  }

  private void judge(Moment m) {
    int found = 0;
    double before = variance(0);
    for (int i = 1; i < cells; i++) {
      double now = variance(i);
      double least = Math.min(now, before);
      if (least >= LEAST_MV * LEAST_MV
          && Math.max(now, before) <= 3 * least
          && correlation(i) < LEAST_CORRELATION) {
        swing(i);
      } else {
        swings[i] = 0;
        side[i] = 0;
      }
      found = found == 0 && swings[i] >= LEAST_SWINGS ? i : found;
      before = now;
    }
    if (found == 0) {
      sinceUpMs = -1;
    } else if (sinceUpMs < 0) {
      sinceUpMs = m.upMs();
    }
    tap = found;
  }

  /** A side is where the pair is farther apart than by one deviation. */
  private void swing(int i) {
    double apart = wander[i] - mean[i] - (wander[i - 1] - mean[i - 1]);
    double both = variance(i) + variance(i - 1) - 2 * covariance(i);
    if (apart * apart > both && (int) Math.signum(apart) != side[i]) {
      side[i] = (int) Math.signum(apart);
      swings[i]++;
    }
  }

  private double variance(int i) {
    return Math.max(0, square[i] - mean[i] * mean[i]);
  }

  /** Of the wander of a cell by index and the one before it. */
  private double covariance(int i) {
    return product[i] - mean[i] * mean[i - 1];
  }

  private double correlation(int i) {
    return covariance(i) / Math.sqrt(Math.max(1e-9, variance(i) * variance(i - 1)));
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    if (tap == 0 || sinceUpMs < 0) {
      return Optional.empty();
    }
    return Optional.of(
        new Suspicion(
            Suspicion.Kind.LOOSE_TAP,
            List.of(tap, tap + 1),
            m.wallMs(sinceUpMs),
            "the sense wire between cells " + tap + " and " + (tap + 1) + " has a bad contact",
            "its crimp, its screw and its plug",
            Facts.of()
                .put("correlation", correlation(tap), 2)
                .put("wander_mv", Math.sqrt(variance(tap)), 1)
                .build()));
  }

  @Override
  public void state(State io) {
    io.each(slow);
    io.each(wander);
    io.each(mean);
    io.each(square);
    io.each(product);
    io.each(swings);
    io.each(side);
    readings = io.number(readings);
    lastStepUpMs = io.number(lastStepUpMs);
    sinceUpMs = io.number(sinceUpMs);
    tap = io.number(tap);
    isNewLevel = io.flag(isNewLevel);
  }
}
