package org.cellherd.board;

import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;

/** One board of a capture being decoded again. One thread. */
final class ReplayedBoard {
  private static final byte[] NOTHING = {};
  private static final int MOST_STEPS = 10_000;

  /** Questions in a row without a reading that make a gap: three polls of three questions each. */
  private static final int GAP_AFTER_UNANSWERED = 9;

  /** A pause between two readings of at most this is no gap, ms. */
  private static final long LEAST_GAP_MS = 10_000;

  /** A longer pause ends a message that only silence ends, ms. */
  private static final long PAUSE_MS = 20;

  /** A longer pause ends any message, ms. */
  private static final long LONGEST_PAUSE_MS = 320;

  private final String pack;
  private final Dialogue dialogue;
  private final BoardListener listener;
  private final long gapAfterMs;
  private Optional<Request> outstanding = Optional.empty();
  private OptionalLong lastHeardMs = OptionalLong.empty();
  private OptionalLong lastBytesMs = OptionalLong.empty();
  private Optional<Gap.Cause> trouble = Optional.empty();
  private int unanswered;
  private long heardAtMs;
  private String identity = "";

  ReplayedBoard(BoardOnLine board, BoardListener listener) {
    this.pack = board.pack();
    this.dialogue = board.dialogue();
    this.listener = listener;
    this.gapAfterMs = Math.max(LEAST_GAP_MS, 3 * board.pace().toMillis() + 2000);
    restart();
  }

  private void restart() {
    dialogue.begin();
    outstanding = dialogue.nextRequest();
  }

  boolean isListenOnly() {
    return dialogue.isListenOnly();
  }

  /** True when these bytes are the question that this board was waiting to be asked, or again. */
  boolean isAsked(byte[] sent) {
    if (matches(sent)) {
      unanswered++;
      outstanding =
          dialogue.retry().filter(r -> Arrays.equals(r.bytes(), sent)).or(() -> outstanding);
      return true;
    }
    return false;
  }

  /** True when these bytes are the first question of a new cycle. */
  boolean isAskedAnew(byte[] sent) {
    if (goesOnWithout(sent)) {
      return isAsked(sent);
    }
    restart();
    return isAsked(sent);
  }

  /**
   * Leaves out what was asked for in vain and is not needed; true when these bytes ask for more.
   */
  private boolean goesOnWithout(byte[] sent) {
    while (dialogue.canDoWithout()) {
      outstanding = dialogue.nextRequest();
      if (matches(sent)) {
        return true;
      }
      if (outstanding.isEmpty()) {
        dialogue.reading(heardAtMs).ifPresent(this::heard);
      }
    }
    return false;
  }

  void end() {
    silence();
    goesOnWithout(NOTHING);
  }

  private boolean matches(byte[] sent) {
    return outstanding.isPresent() && Arrays.equals(outstanding.get().bytes(), sent);
  }

  void hear(long atMs, byte[] bytes) {
    lastBytesMs = OptionalLong.of(atMs);
    heardAtMs = atMs;
    take(atMs, dialogue.feed(bytes, 0, bytes.length));
  }

  /** The line was silent up to here. */
  void silence() {
    lastBytesMs.ifPresent(at -> take(at, dialogue.silence()));
    lastBytesMs = OptionalLong.empty();
  }

  /** Ends the message under way when the pause before the next bytes says so. */
  void endMessageBefore(long atMs) {
    long pause = dialogue.endsBySilence() ? PAUSE_MS : LONGEST_PAUSE_MS;
    if (lastBytesMs.isPresent() && atMs - lastBytesMs.getAsLong() > pause) {
      silence();
    }
  }

  private void take(long atMs, Progress first) {
    Progress progress = first;
    for (int i = 0; progress != Progress.NEED_MORE && i < MOST_STEPS; i++) {
      if (progress == Progress.REFUSED) {
        trouble = dialogue.lastRefusal().map(ReplayedBoard::causeOf);
      } else {
        answered(atMs);
      }
      progress = dialogue.feed(NOTHING, 0, 0);
    }
  }

  private void answered(long atMs) {
    unanswered = Math.max(0, unanswered - 1);
    Optional<Request> next = dialogue.isListenOnly() ? Optional.empty() : dialogue.nextRequest();
    if (next.isPresent()) {
      outstanding = next;
      return;
    }
    Optional<Reading> reading = dialogue.reading(atMs);
    reading.ifPresent(this::heard);
    if (!dialogue.isListenOnly()) {
      restart();
    }
  }

  private void heard(Reading reading) {
    long now = reading.timeMs();
    long last = lastHeardMs.orElse(now);
    if (unanswered >= GAP_AFTER_UNANSWERED || now - last > gapAfterMs) {
      Gap.Cause cause = unanswered == 0 ? Gap.Cause.UNKNOWN : trouble.orElse(Gap.Cause.NO_BYTES);
      listener.heard(pack, new Gap(Math.min(last, now), now, cause));
    }
    String says = dialogue.boardIdentity();
    if (!says.isEmpty()) {
      if (!identity.isEmpty() && !identity.equals(says)) {
        listener.otherBoard(pack, identity, says);
      }
      identity = says;
    }
    unanswered = 0;
    trouble = Optional.empty();
    lastHeardMs = OptionalLong.of(now);
    listener.heard(pack, reading);
  }

  private static Gap.Cause causeOf(Refusal refusal) {
    return switch (refusal.reason()) {
      case CHECKSUM, LENGTH, FRAMING -> Gap.Cause.BAD_CHECKSUM;
      case ADDRESS, NOT_OURS, FIELD, SKEW -> Gap.Cause.WRONG_ANSWER;
      case EXCEPTION, BUSY -> Gap.Cause.DECLINED;
    };
  }
}
