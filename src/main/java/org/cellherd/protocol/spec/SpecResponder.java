package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;

/** The board's side of a described frame protocol. Belongs to one thread. */
final class SpecResponder implements Responder {
  private final Spec spec;
  private final long address;
  private final FrameScanner scanner;

  SpecResponder(Spec spec, int address) {
    this.spec = spec;
    this.address = address;
    this.scanner = new FrameScanner(spec.requests(), new Requests());
  }

  @Override
  public byte[] feed(byte[] chunk, Supplier<Reading> now) {
    if (spec.listenOnly()) {
      return new byte[0];
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    scanner.append(chunk, 0, chunk.length);
    while (scanner.next(false) == FrameScanner.Verdict.TAKEN) {
      Frame frame = scanner.frame().orElseThrow();
      messageFor(frame).ifPresent(m -> out.writeBytes(answer(m, frame, now.get())));
    }
    return out.toByteArray();
  }

  /** The page that was asked for, or all that the message has to tell. */
  private byte[] answer(Message message, Frame request, Reading reading) {
    if (!message.isAskedByPage()) {
      return all(message, reading);
    }
    List<byte[]> pages = message.body().encode(reading);
    int page = message.requests().indexOf(Bytes.of(request.data()));
    return page < pages.size()
        ? spec.replies().build(address, message.code(), pages.get(page))
        : new byte[0];
  }

  private byte[] all(Message message, Reading reading) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte[] data : message.body().encode(reading)) {
      out.writeBytes(spec.replies().build(address, message.code(), data));
    }
    return out.toByteArray();
  }

  @Override
  public byte[] announce(Reading reading) {
    if (!spec.listenOnly()) {
      return new byte[0];
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (Message message : spec.messages()) {
      out.writeBytes(all(message, reading));
    }
    return out.toByteArray();
  }

  private Optional<Message> messageFor(Frame frame) {
    return spec.messages().stream()
        .filter(m -> frame.code() == Frame.NONE || m.requestCode() == frame.code())
        .filter(m -> m.requests().contains(Bytes.of(frame.data())))
        .findFirst();
  }

  /** Waits for any described request to this board. */
  private final class Requests implements Expectation {
    @Override
    public boolean plausible(long theirAddress, long code, int dataLength) {
      return isOurs(theirAddress)
          && spec.messages().stream()
              .anyMatch(
                  m ->
                      (code == Frame.NONE || m.requestCode() == code)
                          && (dataLength < 0 || m.requestData().length() == dataLength));
    }

    private boolean isOurs(long theirAddress) {
      return theirAddress == Frame.NONE || theirAddress == address;
    }

    @Override
    public long address() {
      return address;
    }

    @Override
    public int dataLength(long code, byte[] data, int available) {
      List<Message> fitting =
          spec.messages().stream()
              .filter(m -> code == Frame.NONE || m.requestCode() == code)
              .toList();
      return fitting.stream()
          .mapToInt(m -> m.requestData().length())
          .min()
          .orElse(Integer.MAX_VALUE);
    }

    @Override
    public boolean countsForeign() {
      return false;
    }

    @Override
    public Optional<Refusal> objection(Frame frame) {
      return isOurs(frame.address()) && messageFor(frame).isPresent()
          ? Optional.empty()
          : Optional.of(new Refusal(Refusal.Reason.NOT_OURS, 0, "not for this board"));
    }
  }
}
