package org.cellherd.sim;

/** What is wrong with the numbers a board prints. Belongs to one thread. */
final class ValueFaults {

  /** One cell's number stays as it is; 0 none. */
  int stuckCell;

  /** All numbers stay as they are. */
  boolean isFrozen;

  /** The current is wrong by so much, mA. */
  double currentShiftMa;

  /** This tap and the next one are swapped at the plug; 0 none. */
  int swappedTap;

  /** The board prints so many cells; 0 as its settings say. */
  int cellCount;
}
