package org.cellherd.board;

import java.util.ArrayDeque;
import java.util.Deque;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;

/**
 * A line inside this process whose bytes take the time that they would take on a wire, by the given
 * clock: on a simulated clock a night passes in seconds and always alike. One thread.
 */
public final class LoopbackLink implements Link {
  private static final int MOST_WAITING = 1 << 20;

  private final String name;
  private final FarSide wire;
  private final TimeSource time;
  private final Deque<Piece> waiting = new ArrayDeque<>();
  private LineSettings line = LineSettings.DEFAULT;
  private boolean isOpen;
  private long wireFreeNanos;
  private int waitingBytes;

  /** A closed line to the boards behind a wire. */
  public LoopbackLink(String name, FarSide wire, TimeSource time) {
    this.name = name;
    this.wire = wire;
    this.time = time;
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public void open(LineSettings settings) throws LinkException {
    line = settings;
    isOpen = true;
    requirePlugged();
    forget();
    wireFreeNanos = time.monotonicNanos();
  }

  @Override
  public boolean isOpen() {
    return isOpen;
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    requirePlugged();
    long sentAt = Math.max(time.monotonicNanos(), wireFreeNanos) + line.wireNanos(bytes.length);
    wireFreeNanos = sentAt;
    byte[] answer = wire.exchange(bytes.clone());
    arrive(answer, sentAt + Math.max(0, wire.delayNanos()));
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    requirePlugged();
    long deadline = time.monotonicNanos() + timeoutMs * 1_000_000L;
    int taken = take(buffer);
    while (taken == 0) {
      long now = time.monotonicNanos();
      if (now >= deadline) {
        return 0;
      }
      pause(wakeAt(deadline) - now);
      requirePlugged();
      taken = take(buffer);
    }
    return taken;
  }

  /**
   * When a whole piece is there; its first byte where the rest comes too late; else the deadline.
   */
  private long wakeAt(long deadline) {
    if (waiting.isEmpty()) {
      return deadline;
    }
    Piece piece = waiting.getFirst();
    return piece.lastAt() < deadline ? piece.lastAt() + 1 : Math.min(piece.firstAt + 1, deadline);
  }

  private int take(byte[] buffer) {
    long now = time.monotonicNanos();
    arrive(wire.announced(), now);
    int taken = 0;
    while (taken < buffer.length && !waiting.isEmpty()) {
      int before = taken;
      Piece piece = waiting.getFirst();
      taken += piece.take(buffer, taken, now);
      if (!piece.isDone()) {
        break;
      }
      waiting.removeFirst();
      if (taken == before) {
        break;
      }
    }
    waitingBytes -= taken;
    return taken;
  }

  private void arrive(byte[] bytes, long fromNanos) {
    if (bytes.length == 0 || waitingBytes + bytes.length > MOST_WAITING) {
      return;
    }
    long begins = Math.max(fromNanos, wireFreeNanos);
    waiting.addLast(new Piece(bytes.clone(), begins + line.wireNanos(1), line.wireNanos(1)));
    waitingBytes += bytes.length;
    wireFreeNanos = begins + line.wireNanos(bytes.length);
  }

  private void pause(long nanos) throws LinkException {
    try {
      time.sleepNanos(nanos);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      close();
      throw new LinkException(Gap.Cause.NOT_RUNNING, name + ": interrupted", e);
    }
  }

  private void requirePlugged() throws LinkException {
    if (!wire.isPlugged()) {
      close();
      throw new LinkException(Gap.Cause.PORT_MISSING, name + ": cable is pulled");
    }
    if (!isOpen) {
      throw new LinkException(Gap.Cause.PORT_MISSING, name + ": not open");
    }
  }

  @Override
  public void discardInput() {
    long now = time.monotonicNanos();
    byte[] bin = new byte[256];
    for (int n = take(bin); n > 0; n = take(bin)) {
      wireFreeNanos = Math.max(wireFreeNanos, now);
    }
  }

  private void forget() {
    waiting.clear();
    waitingBytes = 0;
  }

  @Override
  public void close() {
    isOpen = false;
    forget();
  }

  /** Bytes under way: the first is there at {@code firstAt}, each next one a character later. */
  private static final class Piece {
    private final byte[] bytes;
    private final long characterNanos;
    private long firstAt;
    private int from;

    Piece(byte[] bytes, long firstAt, long characterNanos) {
      this.bytes = bytes;
      this.firstAt = firstAt;
      this.characterNanos = Math.max(1, characterNanos);
    }

    int take(byte[] target, int at, long now) {
      if (now < firstAt) {
        return 0;
      }
      long there = Math.min(bytes.length - from, (now - firstAt) / characterNanos + 1);
      int n = (int) Math.min(there, target.length - at);
      System.arraycopy(bytes, from, target, at, n);
      from += n;
      firstAt += n * characterNanos;
      return n;
    }

    long lastAt() {
      return firstAt + (bytes.length - from - 1) * characterNanos;
    }

    boolean isDone() {
      return from == bytes.length;
    }
  }
}
