package org.cellherd.board;

import java.util.OptionalLong;
import org.cellherd.board.CaptureChunk.Direction;

/** A link whose bytes are written down as they pass. One thread. */
public final class CapturingLink extends WrappedLink {
  private final CaptureWriter writer;
  private OptionalLong heardAtMs = OptionalLong.empty();

  /** Writes down what passes over another link. */
  public CapturingLink(Link inner, CaptureWriter writer) {
    super(inner);
    this.writer = writer;
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    writer.write(Direction.TX, bytes, bytes.length);
    super.write(bytes);
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    int n = super.read(buffer, timeoutMs);
    if (n > 0) {
      heardAtMs = OptionalLong.of(writer.write(Direction.RX, buffer, n));
    }
    return n;
  }

  /** The time that stands in the capture, so that a replay gives readings of the same time. */
  @Override
  public OptionalLong heardAtMs() {
    return heardAtMs;
  }
}
