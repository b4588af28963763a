package org.cellherd.board;

import java.util.Optional;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;

/** One request and what comes back. Belongs to the poller's thread. */
final class Exchange {
  private static final byte[] NOTHING = {};

  /** Bound for frames refused in one piece of input, in case a dialogue never stops refusing. */
  private static final int MOST_REFUSALS = 10_000;

  /** While a slow board is waited for, its silence is looked at so often. */
  private static final long SLICE_NANOS = 250_000_000L;

  /** Longest answer a line of chatter can hold a poll for, bytes. */
  private static final int LONGEST_ANSWER = 2048;

  private final HalfDuplexLine line;
  private final TimeSource time;
  private final Dialogue dialogue;
  private final long answerNanos;
  private final PolledBoard board;
  private Optional<Refusal> refused = Optional.empty();
  private long refusedBefore;
  private int heard;
  private long begunAt;
  private boolean isEchoOnly = true;
  private boolean toldSilence;
  private boolean hasWaited;

  Exchange(HalfDuplexLine line, TimeSource time, PolledBoard board, int answerMs) {
    this.line = line;
    this.time = time;
    this.board = board;
    this.dialogue = board.dialogue();
    this.answerNanos = (answerMs + (long) line.pauseMs()) * 1_000_000L;
  }

  /**
   * True when the whole patience went by: asking again would only invite two answers of which the
   * second passes for that to the next question.
   */
  boolean hasWaited() {
    return hasWaited;
  }

  /** Sends a request and waits for its answer, so long for its first byte. */
  Outcome ask(Request request, long patienceNanos) throws LinkException, InterruptedException {
    refused = Optional.empty();
    refusedBefore = dialogue.counts().framesRefused();
    heard = 0;
    isEchoOnly = true;
    toldSilence = false;
    hasWaited = false;
    byte[] sent = request.bytes();
    if (!line.send(sent, answerNanos)) {
      hasWaited = true;
      board.waits();
      return Outcome.GARBLED;
    }
    if (line.wasStale() && board.answers().isOwed(time.monotonicNanos())) {
      board.heardStray();
    }
    long sentAt = line.busyUntil();
    long pauseNanos = line.pauseMs() * 1_000_000L;
    long deadline = line.busyUntil() + patienceNanos + pauseNanos + line.settings().wireNanos(1);
    long latest = deadline + answerNanos + line.settings().wireNanos(LONGEST_ANSWER);
    while (time.monotonicNanos() < Math.min(deadline, latest)) {
      Optional<Progress> progress = next(sent, Math.min(deadline, latest));
      if (progress.isPresent()) {
        if (drained(progress.get()) == Progress.ANSWERED) {
          board.answers().took(begunAt - sentAt, time.monotonicNanos());
          return Outcome.ANSWERED;
        }
        board.waits();
        deadline = extended(deadline);
      }
      if (isFinal(progress.isEmpty())) {
        return ended();
      }
    }
    hasWaited = true;
    return ended();
  }

  private Outcome ended() {
    return drained(dialogue.silence()) == Progress.ANSWERED ? Outcome.ANSWERED : failure();
  }

  /** What the next bytes, or the pause that ends a message, lead to; empty when neither came. */
  private Optional<Progress> next(byte[] sent, long until) throws LinkException {
    int n = line.read(Math.min(SLICE_NANOS, patience(until)));
    if (n == 0 && !line.hasStoodStill()) {
      board.waits();
    }
    if (n > 0) {
      compareWithEcho(sent, n);
      toldSilence = false;
      return Optional.of(dialogue.feed(line.bytes(), 0, n));
    }
    if (dialogue.endsBySilence() && heard > 0 && !toldSilence && isMessageOver()) {
      toldSilence = true;
      return Optional.of(dialogue.silence());
    }
    return Optional.empty();
  }

  /** How long to wait for the next byte: to the deadline, or to the end of the message. */
  private long patience(long deadline) {
    long now = time.monotonicNanos();
    long left = deadline - now;
    boolean awaitsPause = dialogue.endsBySilence() || isBroken();
    if (heard > 0 && !toldSilence && awaitsPause) {
      left = Math.min(left, line.busyUntil() + line.messageEndNanos() - now);
    }
    return Math.max(1, left);
  }

  private boolean isMessageOver() {
    return time.monotonicNanos() - line.busyUntil() >= line.messageEndNanos();
  }

  private long extended(long deadline) {
    int wanted = Math.min(LONGEST_ANSWER, Math.max(1, dialogue.bytesWanted()));
    return heard == 0
        ? deadline
        : Math.max(
            deadline, time.monotonicNanos() + answerNanos + line.settings().wireNanos(wanted));
  }

  private void compareWithEcho(byte[] sent, int n) {
    boolean wasEchoOnly = isEchoOnly;
    for (int i = 0; i < n && isEchoOnly; i++) {
      isEchoOnly = heard + i < sent.length && sent[heard + i] == line.bytes()[i];
    }
    heard += n;
    begunAt = wasEchoOnly ? time.monotonicNanos() : begunAt;
  }

  /** Takes refusals until the dialogue has an answer or wants more. */
  private Progress drained(Progress first) {
    Progress progress = first;
    for (int i = 0; progress == Progress.REFUSED && i < MOST_REFUSALS; i++) {
      refused = dialogue.lastRefusal().or(() -> refused);
      dialogue.lastRefusal().ifPresent(board::refused);
      progress = dialogue.feed(NOTHING, 0, 0);
    }
    return progress;
  }

  /** A no is a no; a broken frame is waited out; a stranger's may be followed by ours. */
  private boolean isFinal(boolean nothingCame) {
    return refusedAs(Outcome.DECLINED)
        || refusedAs(Outcome.BUSY)
        || (isBroken() && (toldSilence || (nothingCame && isMessageOver())));
  }

  private boolean isBroken() {
    return refusedAs(Outcome.GARBLED);
  }

  private boolean refusedAs(Outcome outcome) {
    return refused.map(r -> Outcome.of(r.reason()) == outcome).orElse(false);
  }

  private Outcome failure() {
    if (refused.isEmpty() && dialogue.counts().framesRefused() > refusedBefore) {
      // A stranger's frame is passed over without a word.
      refused = dialogue.lastRefusal();
      refused.ifPresent(board::refused);
    }
    if (refused.isPresent()) {
      return Outcome.of(refused.get().reason());
    }
    return heard == 0 || isEchoOnly ? Outcome.SILENT : Outcome.GARBLED;
  }
}
