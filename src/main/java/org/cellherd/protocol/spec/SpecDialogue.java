package org.cellherd.protocol.spec;

import static java.util.stream.Collectors.joining;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Patience;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
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
  private final Map<String, Long> told = new HashMap<>();
  private final AskingOrder asking;
  private @Nullable Message current;
  private int page;
  private @Nullable Message outstanding;
  private Waiting waiting;
  private Draft last = new Draft();

  SpecDialogue(Spec spec, int address) {
    this.spec = spec;
    this.address = spec.listenOnly() && address == 0 ? Frame.NONE : address;
    this.waiting =
        new Waiting(
            spec.listenOnly() ? spec.messages() : List.of(), this.address, true, false, told::get);
    this.scanner = new FrameScanner(spec.replies(), waiting);
    this.asking = new AskingOrder(spec.messages());
  }

  @Override
  public void begin() {
    if (!spec.listenOnly()) {
      doWithout();
      taken.clear();
      asking.begin();
      current = null;
      outstanding = null;
    }
  }

  @Override
  public Optional<Request> nextRequest() {
    doWithout();
    Message paged = current;
    if (paged != null && paged.isAskedByPage() && page + 1 < pagesOf(paged)) {
      return Optional.of(ask(paged, page + 1));
    }
    if (spec.listenOnly() || !asking.hasNext()) {
      return Optional.empty();
    }
    return Optional.of(ask(asking.next(), 0));
  }

  @Override
  public boolean canDoWithout() {
    return outstanding != null && outstanding.optional();
  }

  /** What was asked for in vain, and is not needed, is no part of this cycle. */
  private void doWithout() {
    Message missed = outstanding;
    if (missed != null && missed.optional()) {
      asking.missed(missed);
      taken.remove(missed);
      outstanding = null;
      current = null;
    }
  }

  /** Pages of a message as told so far. */
  private int pagesOf(Message message) {
    Taken part = taken.get(message);
    Draft draft = part == null ? new Draft(told::get) : part.draft;
    return message.pages().map(p -> p.count(draft)).orElse(1);
  }

  @Override
  public Optional<Request> retry() {
    return outstanding == null ? Optional.empty() : Optional.of(ask(outstanding, page));
  }

  /** Asks for one message, or for a page of it counted from 0, out of turn. */
  Request ask(Message message, int pageOf) {
    outstanding = message;
    current = message;
    page = pageOf;
    byte[] bytes =
        spec.requests().build(address, message.requestCode(), message.request(page).array());
    waiting = new Waiting(List.of(message), address, false, spec.isModbus(), told::get);
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
      return refuse(spec.results().refusal(frame));
    }
    Message message = waiting.messageOf(frame).orElseThrow();
    Draft draft = new Draft(told::get);
    Optional<Refusal> refusal =
        message
            .body()
            .decode(frame.data(), frame.dataOffset(), draft)
            .or(() -> otherPage(message, draft));
    if (refusal.isPresent()) {
      return refuse(refusal.get());
    }
    keep(message, draft);
    if (!spec.listenOnly() && !message.isAskedByPage() && !isThere(message)) {
      return look(false);
    }
    outstanding = null;
    asking.answered(message);
    return Progress.ANSWERED;
  }

  private Optional<Refusal> otherPage(Message message, Draft draft) {
    if (!message.isAskedByPage()) {
      return Optional.empty();
    }
    Pages pages = message.pages().orElseThrow();
    Long came = draft.raw(pages.field());
    long asked = pages.first() + page;
    return came != null && came == asked
        ? Optional.empty()
        : Optional.of(
            new Refusal(
                Refusal.Reason.NOT_OURS, 0, "page " + came + " came, asked was page " + asked));
  }

  /** Keeps what a message told; parts of a message that comes in several frames are joined. */
  private void keep(Message message, Draft draft) {
    draft.raws().forEach((name, raw) -> told.put(message.name() + "." + name, raw));
    Taken before = taken.get(message);
    if (before == null || !message.body().goesOn(before.draft, draft)) {
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
  public boolean tellsAnswersApart() {
    return spec.tellsAnswersApart();
  }

  @Override
  public Patience patience() {
    return spec.patience();
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

  /** What a reading still lacks, in words: a message that did not come, or pages of one. */
  List<String> missing() {
    return spec.messages().stream().filter(m -> !isThere(m)).map(this::missing).toList();
  }

  /** What of some bytes are whole frames that this board's description does not know, and why. */
  List<String> strangersIn(byte[] bytes) {
    FrameScanner any = new FrameScanner(spec.replies(), new AnyCode());
    any.append(bytes, 0, bytes.length);
    List<String> strangers = new ArrayList<>();
    while (any.next(true) == FrameScanner.Verdict.TAKEN) {
      waiting.objection(any.frame().orElseThrow()).ifPresent(r -> strangers.add(r.detail()));
    }
    return strangers;
  }

  private String missing(Message message) {
    Taken part = taken.get(message);
    String name = "\"" + message.name() + "\"";
    if (part == null) {
      return name + " did not come";
    }
    List<Long> pages = message.pages().map(p -> p.missingIn(part.draft)).orElse(List.of());
    return pages.isEmpty()
        ? name + " is not complete"
        : name + " lacks page " + pages.stream().map(String::valueOf).collect(joining(", "));
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
  public List<Doubt> doubts() {
    return last.doubts();
  }
}
