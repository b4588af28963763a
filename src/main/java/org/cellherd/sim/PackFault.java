package org.cellherd.sim;

import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * A fault of a pack or of its board, and what it does there.
 *
 * @param fault when and where
 * @param effect what goes wrong
 */
record PackFault(Fault fault, Effect effect) {

  /** A bad contact changes about this often, ms. */
  private static final double CONTACT_MS = 20_000;

  /** What goes wrong in a pack or in its board. */
  @FunctionalInterface
  interface Effect {

    /** It begins, or is mended. Lost capacity stays lost. */
    void turn(SimPack pack, BoardModel board, boolean isOn);

    /** It goes on, at a time in ms UTC. */
    default void during(SimPack pack, long timeMs) {}
  }

  /** What a fault does to a pack and its board; empty for faults of line and listener. */
  static Optional<PackFault> of(Fault fault, Chance chance) {
    return Optional.ofNullable(effect(fault, chance)).map(e -> new PackFault(fault, e));
  }

  private static @Nullable Effect effect(Fault fault, Chance chance) {
    int number = fault.number();
    double amount = fault.amount();
    return switch (fault.kind()) {
      case LEAK ->
          (pack, board, isOn) ->
              pack.cell(number).leakMore(isOn ? amount / 1000 * pack.cell(number).capacityAh() : 0);
      case SHORT ->
          (pack, board, isOn) ->
              pack.cell(number).shortBy(isOn ? amount : Double.POSITIVE_INFINITY);
      case LOW_CAPACITY ->
          (pack, board, isOn) -> {
            if (isOn) {
              pack.cell(number).shrink(amount / 100);
            }
          };
      case BAD_STRAP -> badStrap(number, amount);
      case LOOSE_TAP -> looseTap(fault, chance.of("tap" + number));
      case SWAPPED_TAPS -> (pack, board, isOn) -> board.faults().swappedTap = isOn ? number : 0;
      case SENSOR_OPEN -> sensor(number, Thermometer.Fault.OPEN);
      case SENSOR_SHORT -> sensor(number, Thermometer.Fault.SHORT);
      case SENSOR_STUCK -> sensor(number, Thermometer.Fault.STUCK);
      case STUCK_CELL -> (pack, board, isOn) -> board.faults().stuckCell = isOn ? number : 0;
      case FROZEN -> (pack, board, isOn) -> board.faults().isFrozen = isOn;
      case CURRENT_OFFSET ->
          (pack, board, isOn) -> board.faults().currentShiftMa = isOn ? amount : 0;
      case CELL_COUNT -> (pack, board, isOn) -> board.faults().cellCount = isOn ? (int) amount : 0;
      case DROPPED, LATE, TRUNCATED, CORRUPTED, ECHO, NOISE, UNPLUGGED, SILENT, BROWN_OUT -> null;
    };
  }

  private static Effect sensor(int sensor, Thermometer.Fault kind) {
    return (pack, board, isOn) ->
        board.thermometer().fault(sensor, isOn ? kind : Thermometer.Fault.NONE);
  }

  /** The strap between a cell and the next one has some mohm. */
  private static Effect badStrap(int cell, double mohm) {
    return new Effect() {
      private double before;

      @Override
      public void turn(SimPack pack, BoardModel board, boolean isOn) {
        before = isOn ? pack.strapOhm(cell) : before;
        pack.strap(cell, isOn ? mohm / 1000 : before);
      }
    };
  }

  /** A sense lead of a resistance has a bad contact: its potential errs, and that wanders. */
  private static Effect looseTap(Fault fault, Chance chance) {
    int tap = fault.number();
    double wanderMv = fault.amounts().get(1);
    double ohm = fault.amounts().get(2);
    return new Effect() {
      private double before;

      @Override
      public void turn(SimPack pack, BoardModel board, boolean isOn) {
        before = isOn ? pack.leadOhm(tap) : before;
        pack.lead(tap, isOn ? ohm : before);
        if (!isOn) {
          pack.tapError(tap, 0);
        }
      }

      @Override
      public void during(SimPack pack, long timeMs) {
        double wander = chance.wander(timeMs / CONTACT_MS) * 2 - 1;
        pack.tapError(tap, (fault.amount() + wanderMv * wander) / 1000);
      }
    };
  }
}
