package org.cellherd.sim;

import org.cellherd.sim.cell.SimPack;

/** Something that goes wrong in a pack or in its board. */
interface PackFault {

  /** It begins. */
  void begin(SimPack pack, BoardModel board);

  /** It goes on, at a time in ms UTC. */
  default void during(SimPack pack, long timeMs) {}

  /** It is mended. Lost capacity stays lost. */
  default void end(SimPack pack, BoardModel board) {}
}
