package org.cellherd.analysis.ageing;

import org.cellherd.analysis.state.State;

/** Turns a stream of values into its reversals, moves below a width left out. One thread. */
final class Reversals {
  private final double width;
  private boolean hasFirst;
  private double turn;
  private double extreme;
  private int direction;

  /** Moves smaller than this are left out. */
  Reversals(double width) {
    this.width = width;
  }

  /** Takes the next value; hands on a reversal when one is sure. */
  void accept(double value, Rainflow flow, Rainflow.Cycles cycles) {
    if (!hasFirst) {
      hasFirst = true;
      turn = value;
      extreme = value;
      flow.reversal(value, cycles);
      return;
    }
    if (direction == 0) {
      if (Math.abs(value - turn) >= width) {
        direction = value > turn ? 1 : -1;
        extreme = value;
      }
    } else if ((value - extreme) * direction >= 0) {
      extreme = value;
    } else if ((extreme - value) * direction >= width) {
      flow.reversal(extreme, cycles);
      turn = extreme;
      direction = -direction;
      extreme = value;
    }
  }

  void state(State io) {
    hasFirst = io.flag(hasFirst);
    turn = io.number(turn);
    extreme = io.number(extreme);
    direction = io.number(direction);
  }
}
