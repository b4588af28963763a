package org.cellherd.board;

import java.io.Flushable;
import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;
import java.util.function.LongSupplier;
import org.cellherd.board.CaptureChunk.Direction;

/**
 * Writes what one line says into a capture. Each chunk is one whole line of the file, handed over
 * at once, so that several writers may share a {@link java.io.Writer} and a kill costs nothing that
 * was heard. A failure to write ends the capture, never the talk with the board; {@link #problem}
 * tells it. One thread.
 */
public final class CaptureWriter {
  private static final System.Logger LOG = System.getLogger(CaptureWriter.class.getName());

  private final Appendable out;
  private final String link;
  private final LongSupplier nowMs;
  private Optional<String> problem = Optional.empty();
  private long chunks;
  private long received;

  /**
   * Writes to {@code out} with times in ms UTC, the same that readings carry.
   *
   * @param link name of the link whose line it is, or ""
   */
  public CaptureWriter(Appendable out, String link, LongSupplier nowMs) {
    this.out = out;
    this.link = link;
    this.nowMs = nowMs;
  }

  /** Writes the first bytes of a buffer as one chunk and returns its time, ms UTC. */
  public long write(Direction direction, byte[] buffer, int length) {
    long at = nowMs.getAsLong();
    if (length > 0 && problem.isEmpty()) {
      try {
        byte[] bytes = Arrays.copyOf(buffer, length);
        out.append(new CaptureChunk(link, at, direction, bytes).line() + "\n");
        if (out instanceof Flushable file) {
          file.flush();
        }
        chunks++;
        received += direction == Direction.RX ? 1 : 0;
      } catch (IOException e) {
        problem = Optional.of("capture ended: " + e.getMessage());
        LOG.log(System.Logger.Level.WARNING, problem.get());
      }
    }
    return at;
  }

  /** Why nothing more is written; empty while all is well. */
  public Optional<String> problem() {
    return problem;
  }

  /** How many of the chunks came from the board. */
  public long received() {
    return received;
  }

  /** How many chunks were written. */
  public long chunks() {
    return chunks;
  }
}
