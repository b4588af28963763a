package org.cellherd.analysis.moment;

import java.util.OptionalInt;
import org.cellherd.analysis.state.State;

/**
 * Finds the current below which a board prints 0 A. Boards commonly do so below some tenths of an
 * ampere (common practice, no source); such a 0 means "somewhere within the zone".
 *
 * <p>The print threshold shows where a smooth current jumps to 0: it is then the smallest current
 * that this board has ever printed. A charger that is switched off at 2 A looks alike, so nothing
 * above {@link #MOST_MA} is believed, and a much smaller current, seen at any time, refutes it; one
 * that is little smaller is the same threshold met by a noisy current.
 */
final class DeadZone {
  /** Used until more is known, mA (common practice, no source). */
  static final int DEFAULT_MA = 100;

  /** A small cell is measured by finer instruments: one part in so many of its current at 1C. */
  private static final int SHARE_OF_1C = 100;

  /** No board is known to print 0 above this, mA (common practice, no source). */
  static final int MOST_MA = 1500;

  private static final int ENOUGH_CHANGES = 20;
  private static final int NONE = Integer.MAX_VALUE;

  private final OptionalInt configuredMa;
  private final int defaultMa;
  private int smallestMa = NONE;
  private int changes;
  private int resolutionMa = NONE;
  private int beforeMa;
  private int lastMa;
  private int taken;
  private int jumpedFromMa;

  /**
   * A zone of which nothing is known yet but what is configured.
   *
   * @param ratedMah rated capacity, mAh
   */
  DeadZone(OptionalInt configuredMa, long ratedMah) {
    this.configuredMa = configuredMa;
    defaultMa = (int) Math.min(DEFAULT_MA, Math.max(1, ratedMah / SHARE_OF_1C));
  }

  void accept(int currentMa) {
    int size = Math.abs(currentMa);
    if (size != 0) {
      smallestMa = Math.min(smallestMa, size);
    } else if (taken >= 2) {
      jump(Math.abs(lastMa), Math.abs(beforeMa));
    }
    if (taken > 0 && currentMa != lastMa) {
      resolutionMa = Math.min(resolutionMa, Math.abs(currentMa - lastMa));
      changes = Math.min(ENOUGH_CHANGES, changes + 1);
    }
    beforeMa = lastMa;
    lastMa = currentMa;
    taken = Math.min(2, taken + 1);
  }

  /** A smooth current that vanished close to the smallest that was ever printed. */
  private void jump(int last, int before) {
    boolean isSmooth = last != 0 && before != 0 && Math.abs(last - before) * 8L <= last;
    if (isSmooth && isNearSmallest(last)) {
      jumpedFromMa = last;
    }
  }

  private boolean isNearSmallest(int size) {
    return size * 4L <= smallestMa * 5L;
  }

  /** After a gap the next current does not follow from the last. */
  void breakOff() {
    taken = 0;
  }

  /** Currents of this size and below are unknown, mA. */
  int ma() {
    if (configuredMa.isPresent()) {
      return configuredMa.getAsInt();
    }
    int zone = defaultMa;
    if (changes == ENOUGH_CHANGES && resolutionMa <= MOST_MA) {
      zone = Math.max(zone, Math.min(resolutionMa, smallestMa) - 1);
    }
    if (jumpedFromMa > 0 && isNearSmallest(jumpedFromMa) && smallestMa <= MOST_MA) {
      zone = Math.max(zone, smallestMa - 1);
    }
    return zone;
  }

  void state(State io) {
    smallestMa = io.number(smallestMa);
    changes = io.number(changes);
    resolutionMa = io.number(resolutionMa);
    beforeMa = io.number(beforeMa);
    lastMa = io.number(lastMa);
    taken = io.number(taken);
    jumpedFromMa = io.number(jumpedFromMa);
  }
}
