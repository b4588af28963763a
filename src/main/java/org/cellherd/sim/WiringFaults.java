package org.cellherd.sim;

import org.cellherd.sim.cell.SimPack;

/** Faults of sense leads, sensors and of the numbers that the board prints. */
final class WiringFaults {

  /** A bad contact changes about this often, ms. */
  private static final double CONTACT_MS = 20_000;

  private WiringFaults() {}

  /**
   * A sense lead with a bad contact.
   *
   * @param mv mean error of its potential
   * @param wanderMv it wanders by so much to both sides
   * @param ohm resistance of the lead
   */
  public static PackFault looseTap(int tap, double mv, double wanderMv, double ohm, Chance chance) {
    return new PackFault() {
      private double before;

      @Override
      public void begin(SimPack pack, BoardModel board) {
        before = pack.leadOhm(tap);
        pack.lead(tap, ohm);
      }

      @Override
      public void during(SimPack pack, long timeMs) {
        double wander = chance.wander(timeMs / CONTACT_MS) * 2 - 1;
        pack.tapError(tap, (mv + wanderMv * wander) / 1000);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        pack.lead(tap, before);
        pack.tapError(tap, 0);
      }
    };
  }

  /** A tap and the next one are swapped at the plug. */
  public static PackFault swappedTaps(int tap) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.faults().swapTaps(tap);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.faults().swapTaps(0);
      }
    };
  }

  /** A temperature sensor breaks. */
  public static PackFault sensor(int sensor, Thermometer.Fault kind) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.thermometer().fault(sensor, kind);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.thermometer().fault(sensor, Thermometer.Fault.NONE);
      }
    };
  }

  /** A cell's number stays as it is. */
  public static PackFault stuckCell(int cell) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.faults().stickCell(cell);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.faults().stickCell(0);
      }
    };
  }

  /** All numbers stay as they are while the board goes on answering. */
  public static PackFault frozen() {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.faults().freeze(true);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.faults().freeze(false);
      }
    };
  }

  /** The current is wrong by some mA. */
  public static PackFault currentOffset(double milliamps) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.faults().shiftCurrent(milliamps);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.faults().shiftCurrent(0);
      }
    };
  }

  /** The board prints another number of cells. */
  public static PackFault cellCount(int cells) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        board.faults().countCells(cells);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        board.faults().countCells(0);
      }
    };
  }
}
