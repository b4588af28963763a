package org.cellherd.sim;

import java.util.Arrays;
import java.util.function.BooleanSupplier;
import org.cellherd.board.FarSide;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.pack.TimeSource;

/** Puts the boards of a wire on a link, such as a serial device. Belongs to one thread. */
public final class BoardServer {

  private static final int WAIT_MS = 20;
  private static final int BUFFER = 1024;

  private final FarSide wire;
  private final TimeSource time;
  private final byte[] buffer = new byte[BUFFER];

  public BoardServer(FarSide wire, TimeSource time) {
    this.wire = wire;
    this.time = time;
  }

  /**
   * Answers on an open link until told to stop.
   *
   * @throws LinkException when the line fails
   * @throws InterruptedException when its thread is interrupted
   */
  public void serve(Link link, BooleanSupplier goesOn) throws LinkException, InterruptedException {
    while (goesOn.getAsBoolean()) {
      answer(link, WAIT_MS);
    }
  }

  /** Takes what has come within some ms, and answers it. */
  void answer(Link link, int waitMs) throws LinkException, InterruptedException {
    int got = link.read(buffer, waitMs);
    if (got > 0) {
      byte[] answer = wire.exchange(Arrays.copyOf(buffer, got));
      send(link, answer, wire.delayNanos());
    }
    send(link, wire.announced(), 0);
  }

  private void send(Link link, byte[] bytes, long delayNanos)
      throws LinkException, InterruptedException {
    if (bytes.length == 0 || !wire.isPlugged()) {
      return;
    }
    if (delayNanos > 0) {
      time.sleepNanos(delayNanos);
    }
    link.write(bytes);
  }
}
