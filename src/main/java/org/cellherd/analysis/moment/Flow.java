package org.cellherd.analysis.moment;

import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Charge and energy from one reading to the next, by the trapezoid rule: power is formed before it
 * is averaged, and a step whose current changes sign is split at the zero crossing, so that neither
 * throughput nor round trip is booked too low. The load that the board does not see, by the plan,
 * is taken off the current.
 *
 * <p>Whole numbers: charge in halves of a mA ms, energy in halves of a microwatt ms. Belongs to one
 * thread.
 */
public final class Flow {
  /** Halves of a mA ms in one mAh. */
  public static final long CHARGE_PER_MAH = 7_200_000L;

  /** Halves of a microwatt ms in one mWh. */
  public static final long ENERGY_PER_MWH = 7_200_000_000L;

  private final int hiddenLoadMa;
  private final Moment moment;

  private boolean hasBefore;
  private long currentBefore;
  private long powerBefore;
  private long currentNow;
  private long powerNow;
  private boolean isCounted;
  private boolean isAcrossGap;
  private double changeAh;
  private final Amounts amounts = new Amounts();

  Flow(PackPlan plan, Moment moment) {
    this.hiddenLoadMa = plan.hiddenLoadMa();
    this.moment = moment;
  }

  /** Looks at the latest entry, which the moment has taken already. */
  void accept(LogEntry entry) {
    isAcrossGap = false;
    isCounted = entry instanceof Reading reading && count(reading);
  }

  private boolean count(Reading reading) {
    boolean hadBefore = hasBefore;
    currentBefore = currentNow;
    powerBefore = powerNow;
    hasBefore = take(reading);
    isAcrossGap = hadBefore && hasBefore && moment.step() == Moment.Step.GAP;
    double changeBefore = changeAh;
    boolean isJoined = hadBefore && hasBefore && moment.isJoined();
    changeAh = isJoined ? (currentNow - currentBefore) / 1000.0 * moment.stepMs() / 3.6e6 : 0;
    if (!isJoined && !isAcrossGap) {
      return false;
    }
    amounts.between(currentBefore, powerBefore, currentNow, powerNow, moment.stepMs());
    amounts.changed(changeAh, changeBefore);
    return !isAcrossGap;
  }

  private boolean take(Reading reading) {
    int printed = moment.currentMa();
    if (printed == Moment.MISSING) {
      return false;
    }
    long millivolts;
    if (moment.isComplete()) {
      millivolts = moment.sum() / 10;
    } else if (reading.packMv().isPresent()) {
      millivolts = reading.packMv().getAsInt();
    } else {
      return false;
    }
    currentNow = (long) printed - hiddenLoadMa;
    powerNow = currentNow * millivolts;
    return true;
  }

  /** True when something could be counted over the step that ends with the latest entry. */
  public boolean isCounted() {
    return isCounted;
  }

  /**
   * True when the latest step was not heard but both of its ends were: {@link #amounts} then is
   * what flowed if the current went straight from one to the other.
   */
  public boolean isAcrossGap() {
    return isAcrossGap;
  }

  /** How much less or more may have flowed over that step, Ah: half of its greater current. */
  public double gapDoubtAh() {
    double most = Math.max(Math.abs(currentBefore), Math.abs(currentNow)) / 1000.0;
    return most / 2 * moment.stepMs() / 3.6e6;
  }

  /** What was counted over the latest step. */
  public Amounts amounts() {
    return amounts;
  }

  /** The share of it that belongs to the first so many ms of the step. */
  public Amounts firstPart(long partMs) {
    double share = (double) partMs / moment.stepMs();
    Amounts part = new Amounts();
    part.between(
        currentBefore,
        powerBefore,
        currentBefore + Math.round((currentNow - currentBefore) * share),
        powerBefore + Math.round((powerNow - powerBefore) * share),
        partMs);
    part.samplingOf(amounts, share);
    return part;
  }

  /** Current of the latest reading with the hidden load taken off, mA; positive charging. */
  public long currentMa() {
    return currentNow;
  }

  void state(State io) {
    hasBefore = io.flag(hasBefore);
    currentNow = io.number(currentNow);
    powerNow = io.number(powerNow);
    changeAh = io.number(changeAh);
  }
}
