package org.cellherd.analysis.capacity;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.ChargeEnd;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

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
    ChargeEnd.Kind startKind,
    int topCell,
    int bottomCell,
    Limit limit) {

  void save(StateWriter out) {
    out.putLong(upMs).putDouble(ah.low()).putDouble(ah.mid()).putDouble(ah.high());
    out.putDouble(unsureAh).putDouble(amps).putDouble(tempC).putDouble(endMv);
    out.putEnum(startKind).putLong(topCell).putLong(bottomCell).putEnum(limit);
  }

  static CapacityTest restored(StateReader in) {
    return new CapacityTest(
        in.getLong(),
        new Interval(in.getDouble(), in.getDouble(), in.getDouble()),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getEnum(ChargeEnd.Kind.class),
        in.getInt(),
        in.getInt(),
        in.getEnum(Limit.class));
  }
}
