package org.cellherd.analysis.capacity;

import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.cellherd.analysis.state.State;

/**
 * One measured capacity, as far as later tests need it.
 *
 * @param upMs fold time of its end
 * @param ah what was drawn, with its bounds
 * @param unsureAh half of what the bounds leave open beside gain and start, which tests share
 * @param amps mean current
 * @param tempC mean temperature of the cells; NaN when not told
 * @param endMv lowest cell at the end
 * @param startKind how the charge before it ended
 * @param topCell highest cell at the top; 0 when not seen
 * @param bottomCell lowest cell at the end
 * @param limit what kept the pack from giving more
 */
record CapacityTest(
    long upMs,
    Interval ah,
    double unsureAh,
    double amps,
    double tempC,
    double endMv,
    ChargeTermination startKind,
    int topCell,
    int bottomCell,
    Limit limit) {

  static final CapacityTest NONE =
      new CapacityTest(
          0, Interval.exactly(0), 0, 0, 0, 0, ChargeTermination.UNKNOWN, 0, 0, Limit.UNKNOWN);

  CapacityTest state(State io) {
    return new CapacityTest(
        io.number(upMs),
        ah.state(io),
        io.number(unsureAh),
        io.number(amps),
        io.number(tempC),
        io.number(endMv),
        io.constant(startKind),
        io.number(topCell),
        io.number(bottomCell),
        io.constant(limit));
  }
}
