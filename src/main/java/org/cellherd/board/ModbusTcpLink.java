package org.cellherd.board;

import java.util.Arrays;
import org.cellherd.pack.Gap;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.modbus.Mbap;

/**
 * A device that speaks Modbus TCP itself: header, unit and transaction instead of the check value
 * of a serial line. Both sides of this program see the frames of Modbus RTU. An answer to an
 * earlier question is passed over by its transaction. One thread.
 */
final class ModbusTcpLink extends WrappedLink {
  private static final long NANOS_PER_MS = 1_000_000L;

  private final String bridge;
  private final TimeSource time;
  private final byte[] piece = new byte[512];
  private byte[] kept = {};
  private int transaction;
  private boolean isAdvised;

  /** A closed link to a host and port; {@code time} bounds its waits. */
  public ModbusTcpLink(String host, int port, TimeSource time) {
    this(
        new TcpLink(
            new LinkAddress.Network(LinkAddress.Way.MODBUS_TCP, host, port).text(),
            host,
            port,
            time),
        time);
  }

  ModbusTcpLink(Link inner, TimeSource time) {
    super(inner);
    this.bridge = inner.name().replaceFirst("^modbus-", "");
    this.time = time;
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    kept = new byte[0];
    super.open(line);
  }

  @Override
  public void write(byte[] frame) throws LinkException {
    if (!Mbap.isRtu(frame)) {
      throw new LinkException(
          Gap.Cause.PORT_REFUSED, name() + ": not sent, Modbus TCP carries Modbus frames only");
    }
    transaction = transaction + 1 & 0xFFFF;
    isAdvised = true;
    super.write(Mbap.message(transaction, frame));
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    long until = time.monotonicNanos() + timeoutMs * NANOS_PER_MS;
    int taken = next(buffer);
    for (long left = timeoutMs; taken == 0 && left >= 0; ) {
      int n = super.read(piece, (int) left);
      keep(n);
      taken = next(buffer);
      long now = time.monotonicNanos();
      left = n == 0 || now >= until ? -1 : (until - now) / NANOS_PER_MS;
    }
    return taken;
  }

  private void keep(int n) {
    int before = kept.length;
    kept = Arrays.copyOf(kept, before + n);
    System.arraycopy(piece, 0, kept, before, n);
  }

  /** The frame of the next answer to the last question; 0 when none is there. */
  private int next(byte[] buffer) throws LinkException {
    while (kept.length > 0) {
      if (!Mbap.mayBegin(kept, kept.length)) {
        throw noMbap();
      }
      Mbap message = Mbap.read(kept, kept.length).orElse(null);
      if (message == null) {
        return 0;
      }
      kept = Arrays.copyOfRange(kept, message.length(), kept.length);
      if (message.transaction() == transaction) {
        System.arraycopy(message.frame(), 0, buffer, 0, message.frame().length);
        return message.frame().length;
      }
    }
    return 0;
  }

  private LinkException noMbap() {
    boolean isRtu = Mbap.isRtu(kept);
    isAdvised = false;
    close();
    return new LinkException(
        Gap.Cause.WRONG_ANSWER,
        name()
            + (isRtu
                ? ": answers with Modbus RTU frames, so it is a bridge to a serial line: " + bridge
                : ": what comes is no Modbus TCP"));
  }

  @Override
  public boolean tellsAnswersApart() {
    return true;
  }

  @Override
  public String advice() {
    return isAdvised ? "a bridge to a serial line that passes Modbus RTU is " + bridge : "";
  }

  @Override
  public void discardInput() throws LinkException {
    kept = new byte[0];
    super.discardInput();
  }

  @Override
  public void close() {
    kept = new byte[0];
    super.close();
  }
}
