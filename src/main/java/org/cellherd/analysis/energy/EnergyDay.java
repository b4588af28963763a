package org.cellherd.analysis.energy;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.Amounts;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

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

  Tally tally() {
    return tally;
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

  Facts facts(LocalDay day, long ofMs, double capacityAh, Interval gain) {
    Interval in = error.charged(tally.chargedWh(), gain);
    Interval out = drawnWh(gain);
    return Facts.of()
        .put("day", day.date().toString())
        .put("hours", day.lengthMs() / 3_600_000.0, 1)
        .put("charged_wh", tally.chargedWh(), 1)
        .putLow("charged_wh_low", in.low(), 1)
        .putHigh("charged_wh_high", in.high(), 1)
        .put("discharged_wh", tally.dischargedWh(), 1)
        .putLow("discharged_wh_low", out.low(), 1)
        .putHigh("discharged_wh_high", out.high(), 1)
        .put("charged_ah", tally.chargedAh(), 3)
        .put("discharged_ah", tally.dischargedAh(), 3)
        .putLow("soc_min_pct", range.lowestPct(capacityAh), 1)
        .putHigh("soc_max_pct", range.highestPct(capacityAh), 1)
        .put("depth_pct", range.depthPct(capacityAh), 1)
        .put("full_minutes", fullMs / MINUTE_MS, 0)
        .put("cold_charge_minutes", coldChargeMs / MINUTE_MS, 1)
        .put("beyond_zone_minutes", beyondZoneMs / MINUTE_MS, 1)
        .put("hot_minutes", hotMs / MINUTE_MS, 0)
        .put("peak_charge_w", peak.chargeWatts(), 0)
        .put("peak_discharge_w", peak.dischargeWatts(), 0)
        .put("coverage_pct", coveragePct(ofMs), 1)
        .build();
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
