package org.cellherd.protocol.spec;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.field.Draft;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;
import org.jspecify.annotations.Nullable;

/** The talk with one described board. Belongs to one thread. */
final class SpecDialogue implements Dialogue {

  /** Stands for "taken, but nobody has said when yet". */
  private static final long JUST_NOW = Long.MAX_VALUE;

  private record Taken(Draft draft, long timeMs) {}

  private final Spec spec;
  private final long address;
  private final FrameScanner scanner;
  private final Misplaced misplaced = new Misplaced();
  private final Map<Message, Taken> taken = new LinkedHashMap<>();
  private int next;
  private @Nullable Message outstanding;
  private Waiting waiting;
  private Draft last = new Draft();

  SpecDialogue(Spec spec, int address) {
    this.spec = spec;
    this.address = spec.listenOnly() && address == 0 ? Frame.NONE : address;
    this.waiting =
        new Waiting(spec.listenOnly() ? spec.messages() : List.of(), this.address, true, false);
    this.scanner = new FrameScanner(spec.replies(), waiting);
  }

  @Override
  public void begin() {
    if (!spec.listenOnly()) {
      taken.clear();
      next = 0;
      outstanding = null;
    }
  }

  @Override
  public Optional<Request> nextRequest() {
    if (spec.listenOnly() || next >= spec.messages().size()) {
      return Optional.empty();
    }
    return Optional.of(ask(spec.messages().get(next++)));
  }

  @Override
  public Optional<Request> retry() {
    return outstanding == null ? Optional.empty() : Optional.of(ask(outstanding));
  }

  /** Asks for one message out of turn. */
  Request ask(Message message) {
    outstanding = message;
    byte[] bytes =
        spec.requests().build(address, message.requestCode(), message.requestData().array());
    waiting = new Waiting(List.of(message), address, false, spec.isModbus());
    scanner.expect(waiting, bytes);
    return new Request(message.name(), bytes);
  }

  @Override
  public Progress feed(byte[] chunk, int offset, int length) {
    scanner.append(chunk, offset, length);
    return look(false);
  }

  @Override
  public Progress silence() {
    return look(true);
  }

  private Progress look(boolean silent) {
    if (outstanding == null && !spec.listenOnly()) {
      return scanner.next(silent) == FrameScanner.Verdict.REFUSED
          ? Progress.REFUSED
          : Progress.NEED_MORE;
    }
    return switch (scanner.next(silent)) {
      case WAIT -> Progress.NEED_MORE;
      case REFUSED -> Progress.REFUSED;
      case TAKEN -> take(scanner.frame().orElseThrow());
    };
  }

  private Progress take(Frame frame) {
    if (frame.isException()) {
      long code = frame.data().length == 0 ? 0 : frame.data()[0] & 0xFF;
      String words = spec.refusalWords().getOrDefault(code, "reason not described");
      return refuse(
          new Refusal(
              Refusal.Reason.EXCEPTION, 0, "the board refuses with code " + code + ": " + words));
    }
    Message message = waiting.messageOf(frame).orElseThrow();
    Draft draft = new Draft();
    Optional<Refusal> refusal = message.body().decode(frame.data(), frame.dataOffset(), draft);
    if (refusal.isPresent()) {
      return refuse(refusal.get());
    }
    keep(message, draft);
    if (!spec.listenOnly() && !isThere(message)) {
      return look(false);
    }
    outstanding = null;
    return Progress.ANSWERED;
  }

  /** Keeps what a message told; parts of a message that comes in several frames are joined. */
  private void keep(Message message, Draft draft) {
    Taken before = taken.get(message);
    if (before == null || !message.body().accumulates()) {
      taken.put(message, new Taken(draft, JUST_NOW));
    } else {
      before.draft.addAll(draft);
    }
  }

  private Progress refuse(Refusal refusal) {
    scanner.refuseTaken(refusal);
    return Progress.REFUSED;
  }

  @Override
  public int bytesWanted() {
    if (outstanding != null && scanner.isEmpty()) {
      return spec.replies().wireLength(outstanding.code(), outstanding.body().least());
    }
    return scanner.wanted();
  }

  @Override
  public boolean endsBySilence() {
    return spec.replies().endsBySilence();
  }

  @Override
  public boolean isListenOnly() {
    return spec.listenOnly();
  }

  @Override
  public OptionalInt answerWithinMs() {
    return spec.answerWithinMs();
  }

  @Override
  public Optional<Reading> reading(long timeMs) {
    taken.replaceAll((m, t) -> t.timeMs == JUST_NOW ? new Taken(t.draft, timeMs) : t);
    boolean stale = taken.values().removeIf(t -> timeMs - t.timeMs > spec.greatestSkewMs());
    if (stale) {
      scanner.remark(
          new Refusal(
              Refusal.Reason.SKEW,
              0,
              "parts of a reading lie more than " + spec.greatestSkewMs() + " ms apart"));
    }
    if (taken.isEmpty() || !spec.messages().stream().allMatch(this::isThere)) {
      return Optional.empty();
    }
    if (isDoubtful()) {
      return Optional.empty();
    }
    Draft whole = merge();
    if (spec.listenOnly()) {
      taken.clear();
    }
    return Optional.of(whole.reading(timeMs));
  }

  /** True when an answer was taken for that to another question. Frames heard name themselves. */
  private boolean isDoubtful() {
    if (spec.listenOnly()) {
      return false;
    }
    Map<Message, int[]> cells = new LinkedHashMap<>();
    taken.forEach((message, part) -> cells.put(message, part.draft.cellValues()));
    Optional<Message> odd = misplaced.find(cells);
    odd.ifPresent(
        m ->
            scanner.remark(
                new Refusal(
                    Refusal.Reason.NOT_OURS,
                    0,
                    "the cells of \""
                        + m.name()
                        + "\" are another message's of the reading before")));
    return odd.isPresent();
  }

  /** What the messages taken so far tell, whole or not. */
  Optional<Reading> partialReading(long timeMs) {
    if (taken.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(merge().reading(timeMs));
  }

  private Draft merge() {
    Draft whole = new Draft();
    for (Message message : spec.messages()) {
      Taken part = taken.get(message);
      if (part != null) {
        whole.addAll(part.draft);
      }
    }
    last = whole;
    return whole;
  }

  private boolean isThere(Message message) {
    Taken part = taken.get(message);
    return part == null ? message.optional() : message.body().isComplete(part.draft);
  }

  @Override
  public Optional<Refusal> lastRefusal() {
    return scanner.refusal();
  }

  @Override
  public LineCounts counts() {
    return scanner.counts();
  }

  @Override
  public String boardIdentity() {
    return last.identity();
  }

  @Override
  public List<Extra> extras() {
    return last.extras();
  }

  @Override
  public List<Extra> doubts() {
    return last.doubts();
  }
}
