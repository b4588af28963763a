package org.cellherd.protocol;

import java.util.Optional;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;

/** Takes every frame whose own checks are right. */
final class AnyFrame implements Expectation {

  @Override
  public boolean plausible(long address, long code, int dataLength) {
    return true;
  }

  @Override
  public int dataLength(long code, byte[] data, int available) {
    return 4;
  }

  @Override
  public boolean countsForeign() {
    return true;
  }

  @Override
  public Optional<Refusal> objection(Frame frame) {
    return Optional.empty();
  }
}
