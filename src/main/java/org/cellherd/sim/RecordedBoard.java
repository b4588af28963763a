package org.cellherd.sim;

import java.util.Iterator;
import java.util.function.LongSupplier;
import org.cellherd.board.FarSide;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Responder;
import org.jspecify.annotations.Nullable;

/**
 * A board that prints recorded readings: at any time the latest one of the record. It is silent
 * before the first. Belongs to one thread.
 */
public final class RecordedBoard implements FarSide {

  private final Iterator<Reading> record;
  private final Responder responder;
  private final LongSupplier nowMs;
  private @Nullable Reading present;
  private @Nullable Reading next;
  private long saidMs = Long.MIN_VALUE;

  /**
   * A board for a record in order of time.
   *
   * @param nowMs time on the record's own clock, ms UTC
   */
  public RecordedBoard(Iterator<Reading> record, Responder responder, LongSupplier nowMs) {
    this.record = record;
    this.responder = responder;
    this.nowMs = nowMs;
    this.next = record.hasNext() ? record.next() : null;
  }

  @Override
  public byte[] exchange(byte[] sent) {
    Reading reading = moveOn();
    return reading == null ? new byte[0] : responder.feed(sent, () -> reading);
  }

  @Override
  public byte[] announced() {
    Reading reading = moveOn();
    if (reading == null || reading.timeMs() == saidMs) {
      return new byte[0];
    }
    saidMs = reading.timeMs();
    return responder.announce(reading);
  }

  private @Nullable Reading moveOn() {
    long now = nowMs.getAsLong();
    Reading waiting = next;
    while (waiting != null && waiting.timeMs() <= now) {
      present = waiting;
      waiting = record.hasNext() ? record.next() : null;
    }
    next = waiting;
    return present;
  }

  /** True when the last reading of the record has been reached. */
  public boolean isOver() {
    return next == null;
  }
}
