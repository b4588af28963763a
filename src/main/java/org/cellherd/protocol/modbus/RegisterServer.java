package org.cellherd.protocol.modbus;

import java.io.ByteArrayOutputStream;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.Numbers;

/**
 * The board's side of a Modbus line: answers any block of existing registers, and says no as the
 * Modbus application protocol asks. Belongs to one thread.
 */
public final class RegisterServer implements Responder {
  private static final int ILLEGAL_FUNCTION = 1;
  private static final int ILLEGAL_ADDRESS = 2;
  private static final int ILLEGAL_VALUE = 3;

  private final Framing replies;
  private final long address;
  private final Set<Long> functions;
  private final RegisterImage image;
  private final FrameScanner scanner;

  /** A server of the functions 3, 4 or both. */
  public RegisterServer(
      Framing requests, Framing replies, long address, Set<Long> functions, RegisterImage image) {
    this.replies = replies;
    this.address = address;
    this.functions = Set.copyOf(functions);
    this.image = image;
    this.scanner = new FrameScanner(requests, new Requests());
  }

  @Override
  public byte[] feed(byte[] chunk, Supplier<Reading> now) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    scanner.append(chunk, 0, chunk.length);
    while (scanner.next(false) == FrameScanner.Verdict.TAKEN) {
      out.writeBytes(answer(scanner.frame().orElseThrow(), now));
    }
    return out.toByteArray();
  }

  private byte[] answer(Frame frame, Supplier<Reading> now) {
    long function = frame.code();
    if (!functions.contains(function)) {
      return no(function, ILLEGAL_FUNCTION);
    }
    int start = (int) Numbers.unsigned(frame.data(), 0, 2, false);
    int count = (int) Numbers.unsigned(frame.data(), 2, 2, false);
    if (count < 1 || count > RegisterRead.MOST) {
      return no(function, ILLEGAL_VALUE);
    }
    Map<Integer, Integer> registers = image.registers(function, now.get());
    byte[] data = new byte[2 * count];
    for (int i = 0; i < count; i++) {
      Integer value = registers.get(start + i);
      if (value == null) {
        return no(function, ILLEGAL_ADDRESS);
      }
      Numbers.put(data, 2 * i, 2, false, value);
    }
    return replies.build(address, function, data);
  }

  private byte[] no(long function, int reason) {
    return replies.buildException(address, function, reason);
  }

  @Override
  public byte[] announce(Reading reading) {
    return new byte[0];
  }

  /** Waits for any eight-byte request to this board. */
  private final class Requests implements Expectation {
    @Override
    public boolean plausible(long theirAddress, long code, int dataLength) {
      return theirAddress == Frame.NONE || theirAddress == address;
    }

    @Override
    public int dataLength(long code, byte[] data, int available) {
      return 4;
    }

    @Override
    public boolean countsForeign() {
      return false;
    }

    @Override
    public Optional<Refusal> objection(Frame frame) {
      return frame.address() == address
          ? Optional.empty()
          : Optional.of(new Refusal(Refusal.Reason.ADDRESS, 0, "not for this board"));
    }
  }
}
