package org.cellherd.board;

import java.util.HexFormat;
import java.util.function.LongSupplier;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.modbus.ModbusWrites;

/**
 * An open line on which one side talks at a time: keeps the quiet time, notes when bytes came. One
 * thread.
 */
final class HalfDuplexLine {
  private static final long NANOS_PER_MS = 1_000_000L;

  /**
   * Above this speed the quiet time is fixed (guide for Modbus over serial line, V1.02, 2.5.1.1).
   */
  private static final int FIXED_QUIET_ABOVE_BAUD = 19_200;

  private static final long FIXED_QUIET_NANOS = 1_750_000L;
  private static final int MOST_STALE_BYTES = 1 << 14;

  private final Link link;
  private final TimeSource time;
  private final LongSupplier anchoredMs;
  private final LineSettings settings;
  private final long quietNanos;
  private final byte[] buffer = new byte[4096];
  private long busyUntil;
  private long heardAtMs;
  private boolean hasStoodStill;
  private int stale;

  HalfDuplexLine(Link link, LineClock clock, LineSettings settings) {
    this.link = link;
    this.time = clock.time();
    this.anchoredMs = clock.anchoredMs();
    this.settings = settings;
    this.quietNanos = quietNanos(settings);
    this.busyUntil = time.monotonicNanos();
  }

  /** The silence that separates two frames: 3.5 characters, ns. */
  static long quietNanos(LineSettings settings) {
    return settings.baud() > FIXED_QUIET_ABOVE_BAUD ? FIXED_QUIET_NANOS : settings.wireNanos(7) / 2;
  }

  /** Silence after which a message is surely over, as far as this link can tell, ns. */
  long messageEndNanos() {
    return Math.max(quietNanos(settings), link.pauseMs() * NANOS_PER_MS);
  }

  /**
   * Throws away what is stale, waits for the quiet time, sends. Returns when it is on the wire. All
   * that a board is ever sent comes by here, so here a write would be stopped.
   *
   * @return false where others talk without such a pause for so long, ns: then nothing was sent
   */
  boolean send(byte[] request, long mostNanos) throws LinkException, InterruptedException {
    if (ModbusWrites.isOne(request)) {
      throw new LinkException(
          Gap.Cause.PORT_REFUSED,
          link.name()
              + ": not sent, a board would take it for a write: "
              + HexFormat.of().formatHex(request));
    }
    long latest = time.monotonicNanos() + mostNanos;
    stale = 0;
    discardStale();
    for (long wait = quietWait(); wait > 0; wait = quietWait()) {
      if (time.monotonicNanos() > latest) {
        return false;
      }
      time.sleepNanos(wait);
      discardStale();
    }
    link.write(request);
    busyUntil = time.monotonicNanos() + settings.wireNanos(request.length);
    return true;
  }

  /** True when bytes were thrown away before the last question. */
  boolean wasStale() {
    return stale > 0;
  }

  private long quietWait() {
    return busyUntil + quietNanos - time.monotonicNanos();
  }

  private void discardStale() throws LinkException {
    int most = stale + MOST_STALE_BYTES;
    for (int n = link.read(buffer, 0); n > 0; n = link.read(buffer, 0)) {
      busyUntil = time.monotonicNanos();
      stale += n;
      if (stale > most) {
        link.discardInput();
        return;
      }
    }
  }

  /** Reads into {@link #bytes}, waiting at most some ns for the first byte; 0 when none came. */
  int read(long waitNanos) throws LinkException {
    long waitMs = Math.max(0, (waitNanos + NANOS_PER_MS - 1) / NANOS_PER_MS);
    long until = time.monotonicNanos() + waitMs * NANOS_PER_MS;
    int n = link.read(buffer, (int) Math.min(waitMs, Integer.MAX_VALUE));
    hasStoodStill |= time.monotonicNanos() - until > LinePoller.STOOD_STILL_NANOS;
    if (n > 0) {
      busyUntil = Math.max(busyUntil, time.monotonicNanos());
      heardAtMs = link.heardAtMs().orElseGet(anchoredMs);
    }
    return n;
  }

  /** True when a wait took so long that this process was stopped in it. */
  boolean hasStoodStill() {
    return hasStoodStill;
  }

  /** As {@link #hasStoodStill}, asked once. */
  boolean takeStandstill() {
    boolean stood = hasStoodStill;
    hasStoodStill = false;
    return stood;
  }

  /** The bytes of the last read; valid until the next one. */
  byte[] bytes() {
    return buffer;
  }

  /** When the last bytes came, ms UTC. */
  long heardAtMs() {
    return heardAtMs;
  }

  /** When the last byte sent or received was on the wire. */
  long busyUntil() {
    return busyUntil;
  }

  LineSettings settings() {
    return settings;
  }

  int pauseMs() {
    return link.pauseMs();
  }
}
