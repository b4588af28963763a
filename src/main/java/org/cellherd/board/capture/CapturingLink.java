package org.cellherd.board.capture;

import java.util.OptionalLong;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.board.capture.CaptureChunk.Direction;
import org.cellherd.protocol.LineSettings;

/** A link whose bytes are written down as they pass. One thread. */
public final class CapturingLink implements Link {
  private final Link inner;
  private final CaptureWriter writer;
  private OptionalLong heardAtMs = OptionalLong.empty();

  /** Writes down what passes over another link. */
  public CapturingLink(Link inner, CaptureWriter writer) {
    this.inner = inner;
    this.writer = writer;
  }

  @Override
  public String name() {
    return inner.name();
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    inner.open(line);
  }

  @Override
  public boolean isOpen() {
    return inner.isOpen();
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    writer.write(Direction.TX, bytes, bytes.length);
    inner.write(bytes);
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    int n = inner.read(buffer, timeoutMs);
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

  @Override
  public int pauseMs() {
    return inner.pauseMs();
  }

  @Override
  public boolean mayBeHalfOpen() {
    return inner.mayBeHalfOpen();
  }

  @Override
  public void discardInput() throws LinkException {
    inner.discardInput();
  }

  @Override
  public void close() {
    inner.close();
  }
}
