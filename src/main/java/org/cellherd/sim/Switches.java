package org.cellherd.sim;

/** The board's two switches with their trip and release rules. Belongs to one thread. */
final class Switches {

  private static final double TEMPERATURE_RELEASE = 3;
  private static final double RETRY_S = 30;

  private final TripTraits traits;
  private double highS;
  private double lowS;
  private double overS;
  private double restS;
  private boolean high;
  private boolean low;
  private boolean cold;
  private boolean hot;
  private boolean over;
  private int trips;

  /** Both closed. */
  public Switches(TripTraits traits) {
    this.traits = traits;
  }

  /** Looks at what the board measures, for some seconds. */
  public void step(
      double highest, double lowest, double coldest, double hottest, double amps, double seconds) {
    highS = highest >= traits.highV() ? highS + seconds : 0;
    lowS = lowest <= traits.lowV() ? lowS + seconds : 0;
    overS = Math.abs(amps) > traits.amperes() ? overS + seconds : 0;
    if (!high && highS >= traits.delayS()) {
      high = true;
      trips++;
    } else if (high && highest < traits.highReleaseV()) {
      high = false;
    }
    if (lowS >= traits.delayS()) {
      low = true;
    } else if (low && lowest > traits.lowReleaseV()) {
      low = false;
    }
    overCurrent(seconds);
    cold = coldest < traits.coldC() + (cold ? TEMPERATURE_RELEASE : 0);
    hot = hottest > traits.hotC() - (hot ? TEMPERATURE_RELEASE : 0);
  }

  private void overCurrent(double seconds) {
    if (overS >= traits.delayS()) {
      over = true;
      restS = 0;
    } else if (over) {
      restS += seconds;
      over = restS < RETRY_S;
    }
  }

  /** True while charge may flow. */
  public boolean chargeClosed() {
    return !high && !cold && !hot && !over;
  }

  /** True while discharge may flow. */
  public boolean dischargeClosed() {
    return !low && !hot && !over;
  }

  /** Bits: 0 cell high, 1 cell low, 2 over-current, 5 hot, 6 cold. */
  public long alarmBits() {
    return (high ? 1 : 0) | (low ? 2 : 0) | (over ? 4 : 0) | (hot ? 32 : 0) | (cold ? 64 : 0);
  }

  /** How often a high cell has opened the charge switch. */
  public int highTrips() {
    return trips;
  }
}
