package org.cellherd.analysis.energy;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.analysis.state.State;

/** What one day adds up to. Belongs to one thread. */
final class EnergyDay {
  private static final double MINUTE_MS = 60_000;
  private static final long LEAST_MS = 60_000;

  private final Tally tally = new Tally();
  private final EnergyError error;
  private final PeakPower peak = new PeakPower();
  private final ChargeRange range = new ChargeRange();
  private long fullMs;
  private long coldChargeMs;
  private long beyondZoneMs;
  private long hotMs;
  private long bridgedMs;

  /**
   * A day of nothing.
   *
   * @param volts of the pack, good enough for an error
   */
  EnergyDay(double volts) {
    error = new EnergyError(volts);
  }

  /** What the latest step was like, beside what flowed. */
  record Conditions(
      Interval offsetA,
      double zoneA,
      boolean isFull,
      boolean isColdCharge,
      boolean isBeyondZone,
      boolean isHot,
      boolean isBridged) {}

  void add(Amounts step, Conditions conditions) {
    tally.add(step);
    error.add(step, conditions.offsetA(), conditions.zoneA());
    range.count(tally.netAh());
    peak.add(step);
    long ms = step.durationMs();
    fullMs += conditions.isFull() ? ms : 0;
    coldChargeMs += conditions.isColdCharge() ? ms : 0;
    beyondZoneMs += conditions.isBeyondZone() ? ms : 0;
    hotMs += conditions.isHot() ? ms : 0;
    bridgedMs += conditions.isBridged() ? ms : 0;
  }

  void unheard(double ah) {
    error.unheard(ah);
  }

  void breakOff() {
    peak.breakOff();
  }

  void know(Interval socPct) {
    range.know(socPct);
  }

  /** Energy drawn, Wh. */
  Interval drawnWh(Interval gain) {
    return error.discharged(tally.dischargedWh(), gain);
  }

  /** Energy put in less energy drawn, Wh. */
  Interval netWh(Interval gain) {
    return error.net(tally.chargedWh(), tally.dischargedWh(), gain);
  }

  /** Lowest state of charge, percent; NaN when not known. */
  double socMin(double capacityAh) {
    return range.lowestPct(capacityAh);
  }

  /** Share of so many ms that was heard and counted, percent; NaN of less than a minute. */
  double coveragePct(long ofMs) {
    return ofMs < LEAST_MS
        ? Double.NaN
        : Math.min(100, 100.0 * (tally.durationMs() - bridgedMs) / ofMs);
  }

  EnergyResult result(LocalDay day, long ofMs, double capacityAh, Interval gain) {
    return new EnergyResult(
        day.date().toString(),
        day.lengthMs() / 3_600_000.0,
        error.charged(tally.chargedWh(), gain),
        drawnWh(gain),
        tally.chargedAh(),
        tally.dischargedAh(),
        range.lowestPct(capacityAh),
        range.highestPct(capacityAh),
        range.depthPct(capacityAh),
        fullMs / MINUTE_MS,
        coldChargeMs / MINUTE_MS,
        beyondZoneMs / MINUTE_MS,
        hotMs / MINUTE_MS,
        peak.chargeWatts(),
        peak.dischargeWatts(),
        coveragePct(ofMs),
        EnergyResult.Outlook.NONE);
  }

  void clear() {
    tally.clear();
    error.clear();
    peak.clear();
    range.clear();
    fullMs = 0;
    coldChargeMs = 0;
    beyondZoneMs = 0;
    hotMs = 0;
    bridgedMs = 0;
  }

  void state(State io) {
    tally.state(io);
    error.state(io);
    peak.state(io);
    range.state(io);
    fullMs = io.number(fullMs);
    coldChargeMs = io.number(coldChargeMs);
    beyondZoneMs = io.number(beyondZoneMs);
    hotMs = io.number(hotMs);
    bridgedMs = io.number(bridgedMs);
  }
}
