package org.cellherd.protocol.bringup;

/** Numbers cells and sensors on from one row to the next, over all messages. */
final class RowNumbers {
  private int cells;
  private int sensors;

  /** The key that tells the number of a row's first cell or sensor; empty where it is 1. */
  String next(ColumnGuess guess) {
    int before =
        switch (guess.role()) {
          case CELLS -> cells;
          case TEMPERATURES -> sensors;
          default -> 0;
        };
    cells += guess.role() == ColumnGuess.Role.CELLS ? guess.count() : 0;
    sensors += guess.role() == ColumnGuess.Role.TEMPERATURES ? guess.count() : 0;
    return before == 0 ? "" : ", number = " + (before + 1);
  }
}
