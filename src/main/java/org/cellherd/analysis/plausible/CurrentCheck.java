package org.cellherd.analysis.plausible;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * Sign and scale of the current, from its steps: cells have a resistance, so that voltages must
 * rise when the current does. Five steps with a negative one say that the sign is wrong, or swings
 * of charge that move the voltages the other way. A resistance ten times off for all cells says
 * that the unit is: large cells have about 0.05 ohm Ah, small ones 0.1 (common practice, no
 * source).
 */
final class CurrentCheck implements Check {
  private static final int KEPT = 9;
  private static final int LEAST = 5;
  static final double LEAST_OHM_AH = 0.006;
  private static final double MOST_OHM_AH = 0.8;
  private static final long MOST_STEP_MS = 5_000;

  /** Between the knees, what flows in this time moves the voltage less than a step does. */
  private static final long MOST_SLOW_STEP_MS = 120_000;

  private final double ratedAh;
  private final double lowKneeTenthMv;
  private final double kneeTenthMv;
  private final SignBySwing swing;
  private final int leastStepMa;
  private final double[] ohms = new double[KEPT];
  private final Ring steps = new Ring(KEPT);
  private boolean isPending;
  private long sumBefore;
  private int currentBefore;
  private long firstNegativeUpMs = -1;

  CurrentCheck(double ratedAh, AnalysisSettings settings) {
    this.ratedAh = ratedAh;
    lowKneeTenthMv = settings.lowKneeMv() * 10.0;
    kneeTenthMv = settings.kneeMv() * 10.0;
    swing = new SignBySwing(ratedAh, settings);
    leastStepMa = (int) Math.max(1000, 50 * ratedAh);
  }

  @Override
  public void accept(Moment m, Reading reading) {
    swing.accept(m);
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    boolean isUsable =
        m.isJoined()
            && m.stepMs() <= (isBetweenKnees(m) ? MOST_SLOW_STEP_MS : MOST_STEP_MS)
            && m.isComplete()
            && now != Moment.MISSING
            && before != Moment.MISSING;
    if (!isUsable) {
      isPending = false;
      return;
    }
    boolean isStep = Math.abs(now - before) >= leastStepMa;
    if (isPending && !isStep) {
      finish(m);
    }
    isPending = isStep && !isPending && begin(m, before);
  }

  private boolean isBetweenKnees(Moment m) {
    return m.lowest() > lowKneeTenthMv && m.highest() < kneeTenthMv;
  }

  private boolean begin(Moment m, int before) {
    currentBefore = before;
    sumBefore = 0;
    for (int cell = 1; cell <= m.series(); cell++) {
      if (m.cellBefore(cell) == Moment.MISSING) {
        return false;
      }
      sumBefore += m.cellBefore(cell);
    }
    return true;
  }

  /** One reading after the step: boards do not measure voltage and current at one instant. */
  private void finish(Moment m) {
    int step = m.currentMa() - currentBefore;
    if (Math.abs(step) < leastStepMa) {
      return;
    }
    double ohm = (m.sum() - sumBefore) / 10.0 / m.series() / step;
    ohms[steps.next()] = ohm;
    if (ohm < 0 && firstNegativeUpMs < 0) {
      firstNegativeUpMs = m.upMs();
    }
  }

  private double median() {
    double[] sorted = Arrays.copyOf(ohms, steps.size());
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  private int negative() {
    int n = 0;
    for (int i = 0; i < steps.size(); i++) {
      n += ohms[i] < 0 ? 1 : 0;
    }
    return n;
  }

  /** What the steps say of the sign; where there were too few, what swings of charge say. */
  SignState sign() {
    SignState bySteps = signBySteps();
    return bySteps == SignState.UNCONFIRMED ? swing.sign() : bySteps;
  }

  private SignState signBySteps() {
    int known = steps.size();
    int negative = negative();
    if (known < LEAST) {
      return SignState.UNCONFIRMED;
    }
    if (negative >= LEAST && negative > 4 * (known - negative)) {
      return SignState.INVERTED;
    }
    return known - negative >= LEAST && known - negative > 4 * negative
        ? SignState.CONFIRMED
        : SignState.UNCONFIRMED;
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    SignState sign = sign();
    if (sign == SignState.INVERTED) {
      return Optional.of(
          suspicion(
              m,
              Suspicion.Kind.CURRENT_SIGN,
              "the sign of the current is wrong: voltages fall when it rises",
              "the board's description, or the shunt's direction"));
    }
    double ohmAh = signBySteps() == SignState.CONFIRMED ? median() * ratedAh : 0.05;
    if (ohmAh < LEAST_OHM_AH || ohmAh > MOST_OHM_AH) {
      return Optional.of(
          suspicion(
              m,
              Suspicion.Kind.CURRENT_SCALE,
              "the current is about ten times too "
                  + (ohmAh < LEAST_OHM_AH ? "large" : "small")
                  + ", or the rated capacity is",
              "the current's factor in the board's description, and rated_ah in the plan"));
    }
    return Optional.empty();
  }

  private Suspicion suspicion(Moment m, Suspicion.Kind kind, String cause, String lookAt) {
    return new Suspicion(
        kind,
        List.of(),
        m.wallMs(Math.max(0, firstNegativeUpMs)),
        cause,
        lookAt,
        Facts.of()
            .put("steps", steps.size())
            .put("mohm_per_cell", steps.size() == 0 ? Double.NaN : median() * 1000, 3)
            .build());
  }

  @Override
  public void state(State io) {
    io.each(ohms);
    steps.state(io);
    isPending = io.flag(isPending);
    sumBefore = io.number(sumBefore);
    currentBefore = io.number(currentBefore);
    firstNegativeUpMs = io.number(firstNegativeUpMs);
    swing.state(io);
  }
}
