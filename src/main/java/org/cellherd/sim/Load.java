package org.cellherd.sim;

/** Something that takes power from the bus at its hours. A function of time alone. */
final class Load {

  private static final double DAY_S = 86_400;

  private final Traits traits;
  private final double utcOffsetH;
  private final Chance chance;

  /**
   * What kind of load. A load that takes both a power and a current takes both.
   *
   * @param watts power while on
   * @param amperes current while on
   * @param fromH hour of the local day at which it may run
   * @param toH hour until which; equal to {@code fromH} is all day
   * @param periodS it comes on once in each period; 0 is all the time
   * @param onS for so long
   * @param jitter share of the power by which each period differs
   * @param firstMs nothing before this time, ms UTC
   * @param lastMs nothing from this time on, ms UTC
   */
  public record Traits(
      double watts,
      double amperes,
      double fromH,
      double toH,
      double periodS,
      double onS,
      double jitter,
      long firstMs,
      long lastMs) {}

  public Load(Traits traits, double utcOffsetH, Chance chance) {
    this.traits = traits;
    this.utcOffsetH = utcOffsetH;
    this.chance = chance;
  }

  /** Current at a time in ms UTC from a bus of some V, A, never negative. */
  public double amperes(long timeMs, double busV) {
    if (timeMs < traits.firstMs() || timeMs >= traits.lastMs() || busV < 1) {
      return 0;
    }
    double second = timeMs / 1000.0 + utcOffsetH * 3600;
    double hour = (second - Math.floor(second / DAY_S) * DAY_S) / 3600;
    if (!within(hour)) {
      return 0;
    }
    double period = traits.periodS() > 0 ? traits.periodS() : DAY_S;
    long turn = (long) Math.floor(second / period);
    if (traits.periodS() > 0 && second - turn * period >= traits.onS()) {
      return 0;
    }
    double size = 1 + traits.jitter() * (2 * chance.unit(turn) - 1);
    return size * (traits.watts() / busV + traits.amperes());
  }

  private boolean within(double hour) {
    double from = traits.fromH();
    double to = traits.toH();
    if (from == to) {
      return true;
    }
    return from < to ? hour >= from && hour < to : hour >= from || hour < to;
  }
}
