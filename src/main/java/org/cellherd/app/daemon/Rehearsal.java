package org.cellherd.app.daemon;

import java.util.Arrays;
import java.util.function.Consumer;
import org.cellherd.alert.AlertEvent;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;

/**
 * Alerts of a watch that nobody sees, when a run begins: a cell too high, a cell too low and a
 * sensor too hot, as the pack's own rules take them, raised and over. Java loads a class when it is
 * first used, and what judges, words and encodes an alert is used first when there is one: on the
 * way of the one that may count most.
 */
final class Rehearsal {

  /** A turn is longer than the delays of the rules for limits, before and behind. */
  private static final int TURN_S = 80;

  /** Few readings: it is the first of each kind that costs. */
  private static final int STEP_S = 10;

  private static final int BEYOND_MV = 150;
  private static final int USUAL_TENTH_C = 203;
  private static final int HOT_TENTH_C = 900;

  private final PackConfig config;
  private final Consumer<AlertEvent> told;

  /** Alerts of a pack like this are told to somebody who forgets them. */
  Rehearsal(PackConfig config, Consumer<AlertEvent> told) {
    this.config = config;
    this.told = told;
  }

  /** Plays it; the times are those of no log. */
  void play() {
    PackWatch watch = new PackWatch(config);
    watch.accept(new SessionStart(0, 1, true, true));
    int usual = config.plan().limits().nominalMv();
    int high = config.plan().limits().cutOffHighMv() + BEYOND_MV;
    int low = config.plan().limits().cutOffLowMv() - BEYOND_MV;
    int[] turns = {usual, high, usual, low, usual};
    for (int second = 0; second < turns.length * TURN_S; second += STEP_S) {
      watch.accept(reading(second, usual, turns[second / TURN_S])).forEach(told);
      watch.alerts().onTick(second * 1000L).forEach(told);
      watch.alerts().asksAgain();
      watch.alerts().standing();
    }
  }

  private Reading reading(int second, int usualMv, int firstMv) {
    int[] mv = new int[config.plan().series()];
    Arrays.fill(mv, usualMv);
    mv[0] = firstMv + second / STEP_S % 2;
    boolean isLow = firstMv < usualMv;
    return Reading.at(second * 1000L)
        .cells(CellVoltages.ofMv(mv))
        .packMv(Arrays.stream(mv).sum())
        .currentMa((isLow ? -1 : 1) * (1_500 + second % 70))
        .temperatures(Temperatures.ofTenthC(isLow ? HOT_TENTH_C : USUAL_TENTH_C, USUAL_TENTH_C))
        .build();
  }
}
