package org.cellherd.protocol.spec;

import java.util.Optional;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;

/** Takes any frame that tells its own length. */
record AnyCode() implements Expectation {
  @Override
  public boolean plausible(long address, long code, int dataLength) {
    return true;
  }

  @Override
  public int dataLength(long code, byte[] data, int available) {
    return Integer.MAX_VALUE;
  }

  @Override
  public boolean countsForeign() {
    return false;
  }

  @Override
  public Optional<Refusal> objection(Frame frame) {
    return Optional.empty();
  }
}
