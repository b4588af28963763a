package org.cellherd.board;

import org.cellherd.pack.LogEntry;

/** Takes what a poller hears. Called on the poller's thread; must return soon. */
public interface BoardListener {

  /**
   * The next entry of a pack's log: a reading, or a gap with its cause (repeated while it lasts).
   */
  void heard(String pack, LogEntry entry);

  /** A new or changed state of the line in words, for the log of the program. */
  default void note(String pack, String text) {}

  /** A board that answers has named itself: at each connection, and when the name is another. */
  default void identified(String pack, String identity) {}

  /** Another board answers than before the line was lost. */
  default void otherBoard(String pack, String before, String now) {}
}
