package org.cellherd.board;

import org.cellherd.pack.Gap;
import org.cellherd.protocol.Refusal;

/** How one request, or one poll, ended. */
enum Outcome {
  ANSWERED(Gap.Cause.UNKNOWN, false),
  /** Without a byte that was not our own echo. */
  SILENT(Gap.Cause.NO_BYTES, true),
  /** With bytes, but no frame that passes its check. */
  GARBLED(Gap.Cause.BAD_CHECKSUM, true),
  /** With a frame that is not the answer. */
  WRONG(Gap.Cause.WRONG_ANSWER, true),
  /** With the board's own no. */
  DECLINED(Gap.Cause.DECLINED, false),
  /** With the board's word that it is at work: asked again after a pause, not at once. */
  BUSY(Gap.Cause.DECLINED, false);

  private final Gap.Cause cause;
  private final boolean deservesRetry;

  Outcome(Gap.Cause cause, boolean deservesRetry) {
    this.cause = cause;
    this.deservesRetry = deservesRetry;
  }

  /** What a gap that begins so is called. */
  Gap.Cause cause() {
    return cause;
  }

  /** False when asking again at once would give the same. */
  boolean deservesRetry() {
    return deservesRetry;
  }

  /** True when the board has said what it had to say, so that nothing more is under way. */
  boolean isAnswer() {
    return this == ANSWERED || this == DECLINED || this == BUSY;
  }

  /** True when whole frames came, so that the line and what is on it work. */
  boolean isFrame() {
    return this == ANSWERED || this == WRONG || this == DECLINED || this == BUSY;
  }

  /** What a refused frame means. */
  static Outcome of(Refusal.Reason reason) {
    return switch (reason) {
      case CHECKSUM, LENGTH, FRAMING -> GARBLED;
      case ADDRESS, NOT_OURS, FIELD, SKEW -> WRONG;
      case EXCEPTION -> DECLINED;
      case BUSY -> BUSY;
    };
  }
}
