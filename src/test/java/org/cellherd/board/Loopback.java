package org.cellherd.board;

import java.util.List;
import org.cellherd.pack.TimeSource;

/** One board polled over a line inside this process. */
final class Loopback {
  private Loopback() {}

  static LinePoller poller(
      FarSide wire, TimeSource time, BoardOnLine board, BoardListener listener) {
    return new LinePoller(
        new LoopbackLink("loopback", wire, time), List.of(board), LineClock.of(time), listener);
  }
}
