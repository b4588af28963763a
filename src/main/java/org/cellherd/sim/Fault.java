package org.cellherd.sim;

import java.util.List;
import java.util.Optional;

/**
 * A fault as it happens in one run: what a test or benchmark compares findings with.
 *
 * @param kind which
 * @param pack index of the pack, from 0
 * @param number of the cell, strap, tap or sensor; 0 where it has none
 * @param amounts numbers in the order of {@link FaultKind#amounts}
 * @param fromMs begins, ms UTC
 * @param toMs is over, ms UTC; {@link Long#MAX_VALUE} never
 */
public record Fault(
    FaultKind kind, int pack, int number, List<Double> amounts, long fromMs, long toMs) {

  /** Copies the list. */
  public Fault {
    amounts = List.copyOf(amounts);
    if (amounts.size() != kind.amounts().size()) {
      throw new IllegalArgumentException(
          kind.word() + " has " + kind.amounts().size() + " amounts");
    }
  }

  /** The first number, 0 where there is none. */
  public double amount() {
    return amounts.isEmpty() ? 0 : amounts.get(0);
  }

  /** True from its beginning until before its end. */
  public boolean covers(long timeMs) {
    return timeMs >= fromMs && timeMs < toMs;
  }

  /** What it does to a pack and its board; empty for faults of line and listener. */
  public Optional<Scheduled<PackFault>> onPack(Chance chance) {
    return Optional.ofNullable(
            switch (kind) {
              case LEAK -> CellFaults.leak(number, amount());
              case SHORT -> CellFaults.shorted(number, amount());
              case LOW_CAPACITY -> CellFaults.lowCapacity(number, amount());
              case BAD_STRAP -> CellFaults.badStrap(number, amount());
              case LOOSE_TAP ->
                  WiringFaults.looseTap(
                      number, amount(), amounts.get(1), amounts.get(2), chance.of("tap" + number));
              case SWAPPED_TAPS -> WiringFaults.swappedTaps(number);
              case SENSOR_OPEN -> WiringFaults.sensor(number, Thermometer.Fault.OPEN);
              case SENSOR_SHORT -> WiringFaults.sensor(number, Thermometer.Fault.SHORT);
              case SENSOR_STUCK -> WiringFaults.sensor(number, Thermometer.Fault.STUCK);
              case STUCK_CELL -> WiringFaults.stuckCell(number);
              case FROZEN -> WiringFaults.frozen();
              case CURRENT_OFFSET -> WiringFaults.currentOffset(amount());
              case CELL_COUNT -> WiringFaults.cellCount((int) amount());
              case DROPPED, LATE, TRUNCATED, CORRUPTED, ECHO, NOISE, UNPLUGGED, SILENT, BROWN_OUT ->
                  null;
            })
        .map(fault -> new Scheduled<>(pack, fromMs, toMs, fault));
  }
}
