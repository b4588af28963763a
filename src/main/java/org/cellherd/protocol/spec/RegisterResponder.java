package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;
import org.cellherd.protocol.frame.Numbers;

/**
 * The board's side of a Modbus register map: answers any block of described registers, and says no
 * as the Modbus application protocol asks. Belongs to one thread.
 */
final class RegisterResponder implements Responder {
  private static final int ILLEGAL_FUNCTION = 1;
  private static final int ILLEGAL_ADDRESS = 2;
  private static final int ILLEGAL_VALUE = 3;

  private final Spec spec;
  private final long address;
  private final FrameScanner scanner;

  RegisterResponder(Spec spec, int address) {
    this.spec = spec;
    this.address = address;
    this.scanner = new FrameScanner(spec.requests(), new Requests());
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
    if (spec.messages().stream().noneMatch(m -> m.code() == function)) {
      return no(function, ILLEGAL_FUNCTION);
    }
    int start = (int) Numbers.unsigned(frame.data(), 0, 2, false);
    int count = (int) Numbers.unsigned(frame.data(), 2, 2, false);
    if (count < 1 || count > MessageReader.MOST_REGISTERS) {
      return no(function, ILLEGAL_VALUE);
    }
    Map<Integer, Integer> registers = registers(function, now.get());
    byte[] data = new byte[2 * count];
    for (int i = 0; i < count; i++) {
      Integer value = registers.get(start + i);
      if (value == null) {
        return no(function, ILLEGAL_ADDRESS);
      }
      Numbers.put(data, 2 * i, 2, false, value);
    }
    return spec.replies().build(address, function, data);
  }

  private byte[] no(long function, int reason) {
    return spec.replies().buildException(address, function, reason);
  }

  private Map<Integer, Integer> registers(long function, Reading reading) {
    Map<Integer, Integer> registers = new HashMap<>();
    for (Message message : spec.messages()) {
      if (message.code() == function) {
        int start = (int) Numbers.unsigned(message.requestData().array(), 0, 2, false);
        byte[] data = message.body().encode(reading).get(0);
        for (int i = 0; 2 * i + 1 < data.length; i++) {
          registers.put(start + i, (int) Numbers.unsigned(data, 2 * i, 2, false));
        }
      }
    }
    return registers;
  }

  @Override
  public byte[] announce(Reading reading) {
    return new byte[0];
  }

  /** Waits for any eight-byte request to this board. */
  private final class Requests implements Expectation {
    @Override
    public boolean plausible(long theirAddress, long code, int dataLength) {
      return theirAddress == address;
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
