package org.cellherd.sim;

import org.cellherd.sim.cell.SimPack;

/** Faults of cells and straps. */
final class CellFaults {

  private CellFaults() {}

  /** A cell leaks so many mA more for each Ah of its capacity. */
  public static PackFault leak(int cell, double maPerAh) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        pack.cell(cell).leakMore(maPerAh / 1000 * pack.cell(cell).capacityAh());
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        pack.cell(cell).leakMore(0);
      }
    };
  }

  /** A cell has a short inside of some ohm. */
  public static PackFault shorted(int cell, double ohm) {
    return new PackFault() {
      @Override
      public void begin(SimPack pack, BoardModel board) {
        pack.cell(cell).shortBy(ohm);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        pack.cell(cell).shortBy(Double.POSITIVE_INFINITY);
      }
    };
  }

  /** A cell loses some percent of its capacity at the empty end. */
  public static PackFault lowCapacity(int cell, double percent) {
    return (pack, board) -> pack.cell(cell).shrink(percent / 100);
  }

  /** The strap between a cell and the next one has some mohm. */
  public static PackFault badStrap(int cell, double mohm) {
    return new PackFault() {
      private double before;

      @Override
      public void begin(SimPack pack, BoardModel board) {
        before = pack.strapOhm(cell);
        pack.strap(cell, mohm / 1000);
      }

      @Override
      public void end(SimPack pack, BoardModel board) {
        pack.strap(cell, before);
      }
    };
  }
}
