package org.cellherd.board.capture;

import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;
import java.util.function.LongSupplier;
import org.cellherd.board.capture.CaptureChunk.Direction;

/**
 * Writes a capture. A failure to write ends the capture, never the talk with the board; {@link
 * #problem} tells it. One thread.
 */
public final class CaptureWriter {
  private final Appendable out;
  private final LongSupplier nowMs;
  private Optional<String> problem = Optional.empty();
  private long chunks;

  /** Writes to {@code out} with times in ms UTC, the same that readings carry. */
  public CaptureWriter(Appendable out, LongSupplier nowMs) {
    this.out = out;
    this.nowMs = nowMs;
  }

  /** Writes the first bytes of a buffer as one chunk and returns its time, ms UTC. */
  public long write(Direction direction, byte[] buffer, int length) {
    long at = nowMs.getAsLong();
    if (length > 0 && problem.isEmpty()) {
      try {
        out.append(new CaptureChunk(at, direction, Arrays.copyOf(buffer, length)).line());
        out.append('\n');
        chunks++;
      } catch (IOException e) {
        problem = Optional.of("capture ended: " + e.getMessage());
      }
    }
    return at;
  }

  /** Why nothing more is written; empty while all is well. */
  public Optional<String> problem() {
    return problem;
  }

  /** How many chunks were written. */
  public long chunks() {
    return chunks;
  }
}
