package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Frame;

/**
 * Waits for frames of one board: for the answer to one message, or for any of several. Immutable.
 *
 * @param messages what may come
 * @param address the board's address; {@link Frame#NONE} takes every board
 * @param listening true when nobody was asked, so that others' frames are no surprise
 * @param foreignLength true when an answer of another length belongs to another request
 * @param told what other messages told
 */
record Waiting(
    List<Message> messages, long address, boolean listening, boolean foreignLength, RawValues told)
    implements Expectation {

  @Override
  public boolean plausible(long theirAddress, long code, int dataLength) {
    return isOurs(theirAddress) && messages.stream().anyMatch(m -> mayBe(m, code, dataLength));
  }

  private boolean isOurs(long theirAddress) {
    return address == Frame.NONE || theirAddress == Frame.NONE || theirAddress == address;
  }

  private static boolean mayBe(Message message, long code, int dataLength) {
    return message.bears(code) && (dataLength < 0 || message.body().mayBe(dataLength));
  }

  @Override
  public int dataLength(long code, byte[] data, int available) {
    int shortest = Integer.MAX_VALUE;
    for (Message message : messages) {
      if (mayBe(message, code, -1) && matchesSoFar(message, data, available)) {
        shortest = Math.min(shortest, message.body().length(data, available, told));
      }
    }
    return shortest;
  }

  private static boolean matchesSoFar(Message message, byte[] data, int available) {
    return message
        .match()
        .map(m -> m.at() + m.bytes().length() > available || m.holds(data))
        .orElse(true);
  }

  @Override
  public boolean countsForeign() {
    return !listening;
  }

  /** The message that a frame is; of several that bear no code the one of its length. */
  Optional<Message> messageOf(Frame frame) {
    List<Message> fitting =
        messages.stream().filter(m -> frame.isException() || m.isIn(frame)).toList();
    return fitting.stream()
        .filter(m -> m.body().mayBe(frame.data().length))
        .findFirst()
        .or(() -> fitting.stream().findFirst());
  }

  @Override
  public Optional<Refusal> objection(Frame frame) {
    if (!isOurs(frame.address())) {
      return refusal(
          Refusal.Reason.ADDRESS, "from address " + frame.address() + ", asked was " + address);
    }
    Optional<Message> message =
        messages.stream()
            .filter(m -> mayBe(m, frame.code(), -1) && (frame.isException() || m.isIn(frame)))
            .findFirst();
    if (message.isEmpty()) {
      String none = listening ? " is of no described message" : " was not asked for";
      return refusal(Refusal.Reason.NOT_OURS, "code " + frame.code() + none);
    }
    int length = frame.data().length;
    if (foreignLength && !frame.isException() && !message.get().body().mayBe(length)) {
      return refusal(
          Refusal.Reason.NOT_OURS, Spoken.counted(length, "byte") + " of data, not asked for");
    }
    return Optional.empty();
  }

  private static Optional<Refusal> refusal(Refusal.Reason reason, String detail) {
    return Optional.of(new Refusal(reason, 0, detail));
  }
}
