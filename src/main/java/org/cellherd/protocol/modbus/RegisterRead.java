package org.cellherd.protocol.modbus;

import java.util.Optional;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.Numbers;

/**
 * A read of a block of registers over Modbus RTU, and what answers it.
 *
 * @param label name for messages
 * @param address the device, 0 to 255
 * @param function 3 or 4
 * @param start address of the first register, from 0
 * @param count registers, 1 to {@link #MOST}
 */
public record RegisterRead(String label, long address, int function, int start, int count)
    implements Expectation {

  /** Most registers of one read, by the Modbus application protocol. */
  public static final int MOST = 125;

  private static final Framing REQUESTS = ModbusFrames.rtu(false);
  private static final Framing REPLIES = ModbusFrames.rtu(true);

  /** Refuses what no read can ask for. */
  public RegisterRead {
    if (count < 1 || count > MOST || start < 0 || start + count > 65_536) {
      throw new IllegalArgumentException("no read of " + count + " registers from " + start);
    }
  }

  /** How answers are framed. */
  public static Framing framing() {
    return REPLIES;
  }

  /** Waits for nothing. */
  public static Expectation nothing() {
    return new RegisterRead("nothing", -2, 0, 0, 1);
  }

  public Request request() {
    byte[] data = new byte[4];
    Numbers.put(data, 0, 2, false, start);
    Numbers.put(data, 2, 2, false, count);
    return new Request(label, REQUESTS.build(address, function, data));
  }

  /** Bytes of the answer. */
  public int replyBytes() {
    return REPLIES.wireLength(function, 2 * count);
  }

  @Override
  public boolean plausible(long theirAddress, long code, int dataLength) {
    return (theirAddress == Frame.NONE || theirAddress == address)
        && (code == Frame.NONE || code == function)
        && (dataLength < 0 || dataLength == 2 * count);
  }

  @Override
  public int dataLength(long code, byte[] data, int available) {
    return 2 * count;
  }

  @Override
  public boolean countsForeign() {
    return true;
  }

  @Override
  public Optional<Refusal> objection(Frame frame) {
    if (frame.address() != address) {
      String text = "from address " + frame.address() + ", asked was " + address;
      return Optional.of(new Refusal(Refusal.Reason.ADDRESS, 0, text));
    }
    boolean ours =
        frame.code() == function && (frame.isException() || frame.data().length == 2 * count);
    return ours
        ? Optional.empty()
        : Optional.of(new Refusal(Refusal.Reason.NOT_OURS, 0, "answers another request"));
  }
}
