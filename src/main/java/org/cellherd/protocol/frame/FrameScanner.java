package org.cellherd.protocol.frame;

import java.util.Optional;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/**
 * Finds frames in a stream: hunts for the next beginning after garbage, counts what it threw away,
 * skips echoes of our own request, and never holds more than a bounded number of bytes. Any bytes
 * are taken; none throws. Belongs to one thread.
 */
public final class FrameScanner {

  /** Bytes kept when a caller hands over a large piece of a capture. */
  private static final int MOST_KEPT = 1 << 16;

  /** What a look at the buffer gave. */
  public enum Verdict {
    /** A frame that is the one waited for; see {@link #frame}. */
    TAKEN,
    /** A frame came that looked like ours and is broken; nothing promising is left. */
    REFUSED,
    /** Wait for more. */
    WAIT
  }

  private final Framing framing;
  private Expectation expected;
  private byte[] echo = new byte[0];
  private byte[] buffer = new byte[512];
  private int from;
  private int to;
  private int wanted = 1;
  private int settled;
  private @Nullable Frame frame;
  private @Nullable Refusal refusal;
  private long taken;
  private long refused;
  private long thrownAway;

  /** A scanner that waits for anything the expectation allows. */
  public FrameScanner(Framing framing, Expectation expected) {
    this.framing = framing;
    this.expected = expected;
  }

  /** Forgets all bytes and waits for the answer to a request; its echo is skipped. */
  public void expect(Expectation expectation, byte[] request) {
    expected = expectation;
    echo = request.clone();
    thrownAway += to - from;
    from = 0;
    to = 0;
    settled = 0;
    wanted = 1;
  }

  public Optional<Frame> frame() {
    return Optional.ofNullable(frame);
  }

  /** Why the last frame was refused. */
  public Optional<Refusal> refusal() {
    return Optional.ofNullable(refusal);
  }

  /** Counts since the scanner was made. */
  public LineCounts counts() {
    return new LineCounts(taken, refused, thrownAway);
  }

  /** Bytes that the next frame needs at least. */
  public int wanted() {
    return wanted;
  }

  /** Adds bytes; the oldest are thrown away when there are more than anybody waits for. */
  public void append(byte[] chunk, int offset, int length) {
    int excess = to - from + length - MOST_KEPT;
    if (excess > 0) {
      int old = Math.min(excess, to - from);
      from += old;
      thrownAway += excess;
      offset += excess - old;
      length -= excess - old;
    }
    if (to + length > buffer.length) {
      int kept = to - from;
      byte[] larger =
          kept + length > buffer.length ? new byte[Math.max(kept + length, 1024)] : buffer;
      System.arraycopy(buffer, from, larger, 0, kept);
      buffer = larger;
      settled = Math.max(0, settled - from);
      from = 0;
      to = kept;
    }
    System.arraycopy(chunk, offset, buffer, to, length);
    to += length;
  }

  /** True when no bytes are kept. */
  public boolean isEmpty() {
    return from == to;
  }

  /** Notes a refusal that concerns no single frame. */
  public void remark(Refusal why) {
    refusal = why;
  }

  /** Refuses a frame that was taken, because its content is wrong. */
  public void refuseTaken(Refusal why) {
    taken--;
    refused++;
    refusal = why;
  }

  /** Looks for the next frame in the bytes kept. */
  public Verdict next(boolean silent) {
    boolean sawBroken = false;
    while (from < to) {
      int echoed = matchEcho();
      if (echoed > 0 && echoed == echo.length) {
        from += echoed;
        continue;
      }
      Scan scan = framing.scan(buffer, from, to, expected, silent);
      if (echoed > 0 && from + echoed == to && !silent && scan.kind() != Scan.Kind.FRAME) {
        wanted = echo.length - echoed;
        return Verdict.WAIT;
      }
      switch (scan.kind()) {
        case GARBAGE -> drop(scan.bytes());
        case BROKEN -> sawBroken |= breakOff(scan);
        case FRAME -> {
          if (take(scan)) {
            return Verdict.TAKEN;
          }
        }
        case NEED -> {
          if (!scan.plausible() && skipToLaterFrame()) {
            continue;
          }
          if (!silent) {
            wanted = scan.bytes();
            return sawBroken && !scan.plausible() ? Verdict.REFUSED : Verdict.WAIT;
          }
          drop(1);
        }
      }
    }
    wanted = 1;
    return sawBroken ? Verdict.REFUSED : Verdict.WAIT;
  }

  private int matchEcho() {
    int n = 0;
    while (n < echo.length && from + n < to && buffer[from + n] == echo[n]) {
      n++;
    }
    return n;
  }

  private void drop(int bytes) {
    int n = Math.min(bytes, to - from);
    from += n;
    thrownAway += n;
  }

  /** Counts a broken frame that looked like ours; the hunt goes on at its second byte. */
  private boolean breakOff(Scan scan) {
    drop(1);
    if (!scan.plausible()) {
      return false;
    }
    refused++;
    refusal = scan.refusal();
    return true;
  }

  private boolean take(Scan scan) {
    from += scan.bytes();
    Frame found = scan.frame();
    if (found == null) {
      return false;
    }
    Optional<Refusal> objection = expected.objection(found);
    if (objection.isPresent()) {
      if (expected.countsForeign()) {
        refused++;
        refusal = objection.get();
      }
      return false;
    }
    frame = found;
    taken++;
    return true;
  }

  /**
   * A false start may hide the answer that follows it: drops the bytes before a later place where a
   * frame of ours begins. Each place is looked at once, so that noise costs bounded steps a byte.
   */
  private boolean skipToLaterFrame() {
    for (int at = Math.max(from + 1, settled); at < to; at++) {
      settled = at;
      Scan scan = framing.scan(buffer, at, to, expected, false);
      if (scan.kind() == Scan.Kind.NEED && !scan.headed()) {
        return false;
      }
      Frame found = scan.frame();
      boolean ours = found != null && expected.objection(found).isEmpty();
      if (ours || (scan.kind() == Scan.Kind.NEED && scan.plausible())) {
        drop(at - from);
        return true;
      }
    }
    settled = to;
    return false;
  }
}
