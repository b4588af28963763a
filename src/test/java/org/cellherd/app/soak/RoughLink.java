package org.cellherd.app.soak;

import java.util.Random;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.board.WrappedLink;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.LineSettings;

/** A line whose cable, connector or board fails for a while. */
final class RoughLink extends WrappedLink {

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

  private final Random random;
  private Fault fault = Fault.NONE;

  RoughLink(Link whole, long seed) {
    super(whole);
    this.random = new Random(seed);
  }

  void become(Fault next) {
    fault = next;
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    requirePlugged();
    super.open(line);
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    requirePlugged();
    super.write(bytes);
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    requirePlugged();
    int n = super.read(buffer, timeoutMs);
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
      close();
      throw new LinkException(Gap.Cause.PORT_MISSING, name() + ": not there");
    }
  }

  @Override
  public void discardInput() throws LinkException {
    requirePlugged();
    super.discardInput();
  }
}
