package org.cellherd.sim;

import java.util.Arrays;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.board.WrappedLink;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.modbus.Mbap;

/** The device's side of Modbus TCP around boards that speak Modbus RTU. One thread. */
final class ModbusTcpServed extends WrappedLink {
  private final byte[] piece = new byte[512];
  private byte[] kept = {};
  private int transaction;

  ModbusTcpServed(Link inner) {
    super(inner);
  }

  @Override
  public void write(byte[] frame) throws LinkException {
    super.write(Mbap.message(transaction, frame));
  }

  /** One question at a time, as a serial frame. */
  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    int n = super.read(piece, timeoutMs);
    int before = kept.length;
    kept = Arrays.copyOf(kept, before + n);
    System.arraycopy(piece, 0, kept, before, n);
    if (kept.length > 0 && !Mbap.mayBegin(kept, kept.length)) {
      throw new LinkException(Gap.Cause.WRONG_ANSWER, name() + ": no Modbus TCP came");
    }
    Mbap message = Mbap.read(kept, kept.length).orElse(null);
    if (message == null) {
      return 0;
    }
    kept = Arrays.copyOfRange(kept, message.length(), kept.length);
    transaction = message.transaction();
    System.arraycopy(message.frame(), 0, buffer, 0, message.frame().length);
    return message.frame().length;
  }

  @Override
  public void discardInput() throws LinkException {
    kept = new byte[0];
    super.discardInput();
  }
}
