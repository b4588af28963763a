package org.cellherd;

import org.cellherd.pack.LogEntry;

/** How a {@link SimulatedRun} comes to its log entries. */
interface Hearing {

  /** Takes an entry of a pack, by index from 0. */
  @FunctionalInterface
  interface Ear {
    void heard(int pack, LogEntry entry);
  }

  /** Goes on to a true time, ms UTC. */
  void goOn(long timeMs);
}
