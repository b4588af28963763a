package org.cellherd.analysis.moment;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.state.State;

/**
 * Tells what kind of moment a reading shows. A pack held at the top prints 0 A as a resting one
 * does; it is told apart by its mean cell voltage, which a charger keeps and a relaxing pack loses.
 * A pack that was drawn from recovers in the pauses of its load, and is held by nobody.
 */
final class PhaseClassifier {
  private static final long REST_MS = 30 * 60_000L;
  private static final double FAST_MS = 60_000;
  private static final double SLOW_MS = 300_000;

  /** A pack that relaxes after its charge falls faster than this, mV a minute and cell. */
  private static final double RELAXING_MV_PER_MIN = -0.3;

  private final AnalysisSettings settings;
  private long quietSinceMs = -1;
  private boolean isDrawnFrom;
  private long lastMs = -1;
  private double fast;
  private double slow;

  PhaseClassifier(AnalysisSettings settings) {
    this.settings = settings;
  }

  Phase classify(Moment m) {
    long now = m.upMs();
    boolean isQuiet = m.flowingMa() == 0;
    if (!isQuiet) {
      quietSinceMs = -1;
      isDrawnFrom = m.currentMa() == Moment.MISSING ? isDrawnFrom : m.flowingMa() < 0;
    } else if (quietSinceMs < 0) {
      quietSinceMs = now;
    }
    if (m.present() == 0) {
      return Phase.UNKNOWN;
    }
    follow(m.sum() / (10.0 * m.present()), now);
    if (m.currentMa() == Moment.MISSING) {
      return Phase.UNKNOWN;
    }
    boolean isAtKnee = m.highest() >= settings.kneeMv() * 10;
    if (isQuiet) {
      return quiet(isAtKnee, m.isChargeOpen(), now);
    }
    if (m.flowingMa() > 0) {
      return isAtKnee ? Phase.UPPER_KNEE : Phase.CHARGE_PLATEAU;
    }
    return m.lowest() < settings.lowKneeMv() * 10 ? Phase.LOWER_KNEE : Phase.DISCHARGE;
  }

  private Phase quiet(boolean isAtKnee, boolean isOpen, long now) {
    if (isAtKnee && !isOpen && !isDrawnFrom && meanSlopeMvPerMin() > RELAXING_MV_PER_MIN) {
      return Phase.HOLD;
    }
    return quietMs(now) >= REST_MS ? Phase.REST : Phase.IDLE;
  }

  private void follow(double mean, long now) {
    if (lastMs < 0) {
      fast = mean;
      slow = mean;
    } else {
      double step = now - lastMs;
      fast += (mean - fast) * step / (step + FAST_MS);
      slow += (mean - slow) * step / (step + SLOW_MS);
    }
    lastMs = now;
  }

  double meanSlopeMvPerMin() {
    return (fast - slow) * 60_000 / (SLOW_MS - FAST_MS);
  }

  long quietMs(long now) {
    return quietSinceMs < 0 ? 0 : now - quietSinceMs;
  }

  void state(State io) {
    isDrawnFrom = io.flag(isDrawnFrom);
    quietSinceMs = io.number(quietSinceMs);
    lastMs = io.number(lastMs);
    fast = io.number(fast);
    slow = io.number(slow);
  }
}
