package org.cellherd.alert.engine;

import org.cellherd.alert.input.RuleInput;
import org.cellherd.analysis.state.State;

/**
 * Counts how often the pack turned from charge to discharge or back by a quarter of its rating. A
 * charger that opens and closes at the top all day, with a small load between, makes one charge of
 * it: the cells stand to each other as they stood, and there is nothing else to do about them.
 */
final class Swings {
  private static final double PART = 0.25;
  private static final double MA_MS_PER_AH = 3.6e9;

  private final double leastAh;
  private double ah;
  private double turnAh;
  private boolean isFalling;
  private int count;

  Swings(double ratedAh) {
    leastAh = PART * ratedAh;
  }

  int count() {
    return count;
  }

  /** Counts what flowed, as far as a second reading confirms it. */
  void take(RuleInput input, long creditMs) {
    if (input.fresh().isEmpty()) {
      return;
    }
    ah += input.view().flowingMa().orElse(0) * (double) creditMs / MA_MS_PER_AH;
    double back = isFalling ? ah - turnAh : turnAh - ah;
    if (back >= leastAh) {
      isFalling = !isFalling;
      count++;
      turnAh = ah;
    } else if (back < 0) {
      turnAh = ah;
    }
  }

  void state(State io) {
    ah = io.number(ah);
    turnAh = io.number(turnAh);
    isFalling = io.flag(isFalling);
    count = io.number(count);
  }
}
