package org.cellherd.analysis.ageing;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.flow.CountedCharge;
import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Moments;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** Keeps what the log says about the use of a pack. Belongs to one thread. */
final class UsageBook {
  private static final double LEAST_SWING_PCT = 2;
  private static final double DAY_MS = 86_400_000;

  private final PackPlan plan;
  private final Moment moment;
  private final CountedCharge charge;
  private final CellTemperatures temperatures;
  private final Tally tally = new Tally();

  /** Of what surely flows alone: weeks of a sensor's offset are no current of use. */
  private final Tally flowing = new Tally();

  private final Moments celsius = new Moments();
  private final Moments soc = new Moments();
  private final Rainflow rainflow = new Rainflow();
  private static final double TELLING_PCT = 20;

  private final Reversals reversals = new Reversals(LEAST_SWING_PCT);
  private final CycleHistogram histogram = new CycleHistogram();
  private long firstUpMs = -1;
  private long lastUpMs;

  UsageBook(PackPlan plan, Moment moment) {
    this.plan = plan;
    this.moment = moment;
    charge = new CountedCharge(plan, moment);
    temperatures = new CellTemperatures(plan);
  }

  void accept(LogEntry entry) {
    charge.accept();
    if (moment.flow().isCounted()) {
      count(moment.flow().amounts());
    }
    if (entry instanceof Reading reading) {
      lastUpMs = moment.readingUpMs();
      firstUpMs = firstUpMs < 0 ? lastUpMs : firstUpMs;
      int tenthC = temperatures.mean(reading.temperatures());
      if (tenthC != CellTemperatures.MISSING) {
        celsius.add(tenthC / 10.0);
      }
      if (charge.isKnown()) {
        moment.socPct().filter(UsageBook::isTelling).ifPresent(pct -> soc.add(pct.mid()));
        reversals.accept(Math.rint(charge.pct()), rainflow, histogram);
      }
    }
  }

  /** The middle of a wide interval, cut off at full or empty, is no state of charge. */
  private static boolean isTelling(Interval socPct) {
    return socPct.high() - socPct.low() <= TELLING_PCT;
  }

  private void count(Amounts step) {
    tally.add(step);
    if (moment.flowingMa() != 0) {
      flowing.add(step);
    }
  }

  void useCapacity(double ah) {
    charge.useCapacity(Interval.exactly(ah));
  }

  /** Equivalent full cycles within the log: charge both ways over twice the rated capacity. */
  double cycles() {
    return (tally.chargedAh() + tally.dischargedAh()) / (2 * plan.ratedAh());
  }

  /** Days from the first to the last reading. */
  double days() {
    return firstUpMs < 0 ? 0 : (lastUpMs - firstUpMs) / DAY_MS;
  }

  long firstUpMs() {
    return firstUpMs;
  }

  long lastUpMs() {
    return lastUpMs;
  }

  CycleHistogram histogram() {
    return histogram;
  }

  /** The average use; NaN where the log does not tell. */
  Usage usage() {
    double hours = flowing.durationMs() / 3.6e6;
    return new Usage(
        celsius.mean(),
        soc.mean() / 100,
        histogram.meanDepth(),
        hours == 0
            ? Double.NaN
            : (flowing.chargedAh() + flowing.dischargedAh()) / hours / plan.ratedAh(),
        days() > 0 ? cycles() / days() : 0);
  }

  void state(State io) {
    charge.state(io);
    tally.state(io);
    flowing.state(io);
    celsius.state(io);
    soc.state(io);
    rainflow.state(io);
    reversals.state(io);
    histogram.state(io);
    firstUpMs = io.number(firstUpMs);
    lastUpMs = io.number(lastUpMs);
  }
}
