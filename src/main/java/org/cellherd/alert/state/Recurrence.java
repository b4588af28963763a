package org.cellherd.alert.state;

import org.cellherd.analysis.state.State;

/**
 * What comes back within two hours of its end is the same occurrence: it is counted, and from its
 * second time on stays listed until it has been gone for two hours.
 *
 * <p>Why two hours: a cell that tripped the board falls from its trip to its release voltage as it
 * relaxes, by diffusion in minutes to about an hour, or as the board bleeds it, and the charger
 * waits minutes to an hour before it tries again: pauses within one charge end by then. Two charges
 * are further apart: between them the pack is discharged and charged again, at 0.5C and to a
 * quarter of its depth at least an hour and mostly a day. What comes of a charge is the same for
 * longer, until the pack was discharged by such a quarter or a night has passed.
 */
final class Recurrence {
  static final long APART_MS = 7_200_000;

  /** The nights of summer, from the end of one day's charge to the next, are no shorter. */
  private static final long NIGHT_MS = 10 * 3_600_000;

  private final boolean isOfACharge;
  private long times;
  private long firstMs;
  private int mostLevel;
  private long heldAgeMs;
  private int heldSwing;
  private boolean isAway;
  private long backMs;

  Recurrence(boolean isOfACharge) {
    this.isOfACharge = isOfACharge;
  }

  /** True when what begins now is the occurrence of before. */
  boolean isSame(Pulse now) {
    long pauseMs = now.ageMs() - heldAgeMs;
    boolean isOneCharge = isOfACharge && now.swing() == heldSwing && pauseMs <= NIGHT_MS;
    return times > 0 && (isOneCharge || pauseMs <= APART_MS);
  }

  /** Another occurrence begins. */
  void begin() {
    times = 0;
    mostLevel = 0;
    isAway = false;
    backMs = 0;
  }

  /** The same where an alert that nobody saw keeps its name for longer. */
  void beginUnlessSame(Pulse now) {
    if (!isSame(now)) {
      long back = backMs;
      begin();
      backMs = back;
    }
  }

  /** Goes on with an occurrence that another run told; what came before is not known. */
  void adopt(int level, long sinceMs, long lastAgeMs, int swing) {
    begin();
    times = 1;
    firstMs = sinceMs;
    mostLevel = level;
    heldAgeMs = lastAgeMs;
    heldSwing = swing;
  }

  /** True before people were told of a level as bad in this occurrence. */
  boolean isWorse(int level) {
    return level > mostLevel;
  }

  /** True until people were told of this occurrence. */
  boolean isUntold() {
    return mostLevel == 0;
  }

  /** It is so once more; when this time began. */
  long again(long timeMs) {
    long sinceMs = backMs > 0 ? backMs : timeMs;
    firstMs = times == 0 ? sinceMs : firstMs;
    times++;
    isAway = false;
    backMs = 0;
    return sinceMs;
  }

  /** People were told of a level. */
  void told(int level) {
    mostLevel = Math.max(mostLevel, level);
  }

  /** It is not back inside its limit. */
  void held(Pulse now) {
    heldAgeMs = now.ageMs();
    heldSwing = now.swing();
  }

  /** It has been gone for as long as an alert that comes once would take to be over. */
  void gone() {
    isAway = true;
  }

  /** True while it is listed although it is gone. */
  boolean isAway() {
    return isAway;
  }

  /** Notes when it may have come back. */
  void look(boolean isSo, long timeMs) {
    backMs = isSo ? (backMs > 0 ? backMs : timeMs) : 0;
  }

  /** True from the second time on. */
  boolean comesAndGoes() {
    return times > 1;
  }

  /** The wall clock was set. */
  void shift(long deltaMs) {
    firstMs += deltaMs;
    backMs += backMs > 0 ? deltaMs : 0;
  }

  /** How often it came; empty for the first time. */
  String words(boolean isListed, Pulse now) {
    if (!comesAndGoes()) {
      return "";
    }
    return AlertText.again(times, firstMs, now)
        + (isListed ? " It stays listed until it has been gone for 2 h." : "");
  }

  void state(State io) {
    times = io.number(times);
    firstMs = io.number(firstMs);
    mostLevel = io.number(mostLevel);
    heldAgeMs = io.number(heldAgeMs);
    isAway = io.flag(isAway);
    backMs = io.number(backMs);
    heldSwing = io.number(heldSwing);
  }
}
