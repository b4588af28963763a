package org.cellherd.app.soak;

import java.util.Random;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.LineSettings;

/** A line whose cable, connector or board fails for a while. */
final class RoughLink implements Link {

  /** What is wrong with it. */
  enum Fault {
    NONE,
    /** The adapter is gone. */
    UNPLUGGED,
    /** Bytes are changed on the way. */
    GARBLED,
    /** The board says nothing. */
    MUTE
  }

  private final Link whole;
  private final Random random;
  private Fault fault = Fault.NONE;

  RoughLink(Link whole, long seed) {
    this.whole = whole;
    this.random = new Random(seed);
  }

  void become(Fault next) {
    fault = next;
  }

  @Override
  public String name() {
    return whole.name();
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    requirePlugged();
    whole.open(line);
  }

  @Override
  public boolean isOpen() {
    return whole.isOpen();
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    requirePlugged();
    whole.write(bytes);
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    requirePlugged();
    int n = whole.read(buffer, timeoutMs);
    if (fault == Fault.MUTE) {
      return 0;
    }
    if (fault == Fault.GARBLED && n > 0) {
      buffer[random.nextInt(n)] ^= (byte) (1 << random.nextInt(8));
    }
    return n;
  }

  private void requirePlugged() throws LinkException {
    if (fault == Fault.UNPLUGGED) {
      whole.close();
      throw new LinkException(Gap.Cause.PORT_MISSING, name() + ": not there");
    }
  }

  @Override
  public void discardInput() throws LinkException {
    requirePlugged();
    whole.discardInput();
  }

  @Override
  public void close() {
    whole.close();
  }
}
