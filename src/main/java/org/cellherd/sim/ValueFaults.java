package org.cellherd.sim;

/** What is wrong with the numbers a board prints. Belongs to one thread. */
final class ValueFaults {

  private int stuckCell;
  private boolean frozen;
  private double currentShiftMa;
  private int swappedTap;
  private int cellCount;

  /** One cell's number stays as it is; 0 none. */
  public void stickCell(int cell) {
    stuckCell = cell;
  }

  /** All numbers stay as they are. */
  public void freeze(boolean on) {
    frozen = on;
  }

  /** The current is wrong by so much, mA. */
  public void shiftCurrent(double milliamps) {
    currentShiftMa = milliamps;
  }

  /** This tap and the next one are swapped at the plug; 0 none. */
  public void swapTaps(int tap) {
    swappedTap = tap;
  }

  /** The board prints so many cells; 0 as its settings say. */
  public void countCells(int cells) {
    cellCount = cells;
  }

  int stuckCell() {
    return stuckCell;
  }

  boolean isFrozen() {
    return frozen;
  }

  double currentShiftMa() {
    return currentShiftMa;
  }

  int swappedTap() {
    return swappedTap;
  }

  int cellCount() {
    return cellCount;
  }
}
