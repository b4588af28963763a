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
 * @param amps mean current
 * @param tempC mean temperature of the cells; NaN when not told
 * @param endMv lowest cell at the end
 * @param startKind how the charge before it ended
 * @param topCell highest cell at the top; 0 when not seen
 * @param bottomCell lowest cell at the end
 */
record CapacityTest(
    long upMs,
    Interval ah,
    double amps,
    double tempC,
    double endMv,
    ChargeEnd.Kind startKind,
    int topCell,
    int bottomCell) {

  void save(StateWriter out) {
    out.putLong(upMs).putDouble(ah.low()).putDouble(ah.mid()).putDouble(ah.high());
    out.putDouble(amps).putDouble(tempC).putDouble(endMv);
    out.putEnum(startKind).putLong(topCell).putLong(bottomCell);
  }

  static CapacityTest restored(StateReader in) {
    return new CapacityTest(
        in.getLong(),
        new Interval(in.getDouble(), in.getDouble(), in.getDouble()),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        in.getEnum(ChargeEnd.Kind.class),
        in.getInt(),
        in.getInt());
  }
}
