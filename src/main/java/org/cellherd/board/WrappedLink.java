package org.cellherd.board;

import java.util.OptionalLong;
import org.cellherd.protocol.LineSettings;

/** A link around another one: all that it does not change is the inner link's. One thread. */
public abstract class WrappedLink implements Link {
  private final Link inner;

  /** Takes over a link, open or closed as it is. */
  protected WrappedLink(Link inner) {
    this.inner = inner;
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
    inner.write(bytes);
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    return inner.read(buffer, timeoutMs);
  }

  @Override
  public void discardInput() throws LinkException {
    inner.discardInput();
  }

  @Override
  public OptionalLong heardAtMs() {
    return inner.heardAtMs();
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
  public boolean tellsAnswersApart() {
    return inner.tellsAnswersApart();
  }

  @Override
  public String advice() {
    return inner.advice();
  }

  @Override
  public void close() {
    inner.close();
  }
}
