package org.cellherd.board;

import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Refusal;

/**
 * What the poller knows of one board: when it is due, when it was heard, whether a gap lasts. The
 * poller's thread, except {@link #setPace} and {@link #counts}.
 */
final class PolledBoard {
  /** A silent board is asked at most this seldom, so that it is soon heard when it wakes. */
  private static final long SLOWEST_NANOS = 10_000_000_000L;

  /** The time between two questions grows to this part of the silence. */
  private static final long SILENCE_PART = 30;

  /** One question in so many to a silent board has the whole patience: it may be slow, not gone. */
  private static final int PATIENT_QUESTION = 10;

  private final BoardOnLine board;
  private final LineClock clock;
  private final BoardListener listener;
  private final Silence silence;
  private final AnswerTimes answers;
  private final Thinning thinning = new Thinning();
  private volatile long paceNanos;
  private volatile LinePoller.Counts counts = LinePoller.Counts.NONE;
  private long begunNanos;
  private long freeNanos;
  private long silentPaceNanos;
  private final boolean isShared;
  private long askedNanos;
  private long roundNanos;
  private boolean isAsked;
  private boolean isLate;
  private int misses;
  private long refusedFrames;
  private long strayBytes;
  private final Set<String> doubted = new HashSet<>();
  private String identity = "";
  private boolean isFresh;

  PolledBoard(
      BoardOnLine board,
      LineClock clock,
      BoardListener listener,
      GapAfter gapAfter,
      AnswerTimes answers) {
    this.board = board;
    this.clock = clock;
    this.listener = listener;
    this.answers = answers;
    this.silence = new Silence(board, clock, listener, gapAfter, answers);
    this.paceNanos = board.pace().toNanos();
    this.isShared = !gapAfter.isWaitedFor() && !board.dialogue().isListenOnly();
    this.begunNanos = now();
    this.askedNanos = begunNanos;
    this.freeNanos = begunNanos;
    // A board that talks by itself has its pace to begin with.
    this.isAsked = board.dialogue().isListenOnly();
  }

  private long now() {
    return clock.time().monotonicNanos();
  }

  String pack() {
    return board.pack();
  }

  Dialogue dialogue() {
    return board.dialogue();
  }

  AnswerTimes answers() {
    return answers;
  }

  /** A question was sent whose answer may take so long: until then no other is asked. */
  void asked(long patienceNanos) {
    freeNanos = now() + patienceNanos;
  }

  /** It lives, but what it says may be the answer to an earlier question. */
  void answeredLate() {
    silence.answeredLate();
  }

  /** The question has its answer. */
  void answered() {
    freeNanos = now();
  }

  /** True while the answer to a question that was given up may still come. */
  boolean mayHearStray() {
    return answers.mayHearStray(now());
  }

  /** It came, later than it was waited for. */
  void heardStray() {
    if (answers.heardStray(now())) {
      listener.note(
          pack(),
          "answers later than its description's answer_within_ms; an answer may take "
              + Spoken.duration(answers.wholeNanos() / 1_000_000)
              + " from now on");
    }
  }

  /** It is at work, and asked again. */
  void busy() {
    isLate = true;
    silence.goesOn(Outcome.BUSY.cause(), expectedNanos());
  }

  /** An answer is waited for. */
  void waits() {
    silence.waits(expectedNanos());
  }

  /** The poll asked for, or the time that a shared line took to come round where it is longer. */
  private long expectedNanos() {
    return Math.max(paceNanos, roundNanos);
  }

  void setPace(Duration pace) {
    paceNanos = pace.toNanos();
  }

  /** How often it is asked at most while it is silent. */
  void setSilentPace(long nanos) {
    silentPaceNanos = nanos;
  }

  LinePoller.Counts counts() {
    return counts;
  }

  /** When the next poll is due, on the monotonic clock. */
  long dueNanos() {
    return Math.max(freeNanos, isAsked ? nextNanos() : begunNanos);
  }

  /** When the poll after this one would be due, whatever is still waited for. */
  long nextNanos() {
    return begunNanos + interval();
  }

  private long interval() {
    long usual = dialogue().isListenOnly() ? silence.usualNanos(paceNanos) : paceNanos;
    return isSilent()
        ? Math.max(
            Math.max(usual, silentPaceNanos),
            Math.min(SLOWEST_NANOS, silence.nanos() / SILENCE_PART))
        : usual;
  }

  /** True while asking twice would only hold up the other boards. */
  boolean isSilent() {
    return silence.isGap() || (misses > 0 && !silence.wasHeard());
  }

  /** True while no byte came yet from a board that talks when it wants. */
  boolean isFirstDue() {
    return silence.isFirstDue();
  }

  /** True when the next answer is worth the whole patience, whoever else is due. */
  boolean isWaitedFor() {
    boolean isHeard = silence.wasHeard() && !silence.isGap();
    return isHeard || misses % PATIENT_QUESTION == PATIENT_QUESTION - 1;
  }

  /**
   * What came in place of a reading since this was asked last, from a board that talks by itself.
   */
  Outcome heardInstead() {
    LineCounts now = dialogue().counts();
    boolean isRefused = now.framesRefused() > refusedFrames;
    boolean isStray = now.bytesThrownAway() > strayBytes;
    refusedFrames = now.framesRefused();
    strayBytes = now.bytesThrownAway();
    if (isRefused) {
      return dialogue().lastRefusal().map(r -> Outcome.of(r.reason())).orElse(Outcome.GARBLED);
    }
    return isStray ? Outcome.GARBLED : Outcome.SILENT;
  }

  void begin() {
    long due = dueNanos();
    // Without drift while the line keeps up; without a queue of missed polls when it does not.
    begunNanos = isAsked && now() - due < paceNanos ? due : now();
    if (isShared && isAsked && misses == 0 && !silence.isGap()) {
      roundNanos = now() - askedNanos;
    }
    askedNanos = now();
    isAsked = true;
    counts = counts.polled();
  }

  void retried() {
    counts = counts.retried();
  }

  void refused(Refusal refusal) {
    counts = counts.refused(refusal.reason());
  }

  void heard(Reading reading) {
    boolean isListening = dialogue().isListenOnly();
    boolean isTaken = !isListening || isTaken();
    if (isTaken) {
      counts = isListening ? counts.polled().heard() : counts.heard();
    }
    counts = counts.threwAway(dialogue().counts().bytesThrownAway());
    identify(isFresh || misses > 0);
    sayDoubts();
    misses = 0;
    isLate = false;
    isFresh = false;
    begunNanos = isListening ? now() : begunNanos;
    silence.end(reading, isTaken, paceNanos);
  }

  /** What ends a silence is always taken. */
  private boolean isTaken() {
    if (silence.isGap()) {
      thinning.restart();
    }
    return thinning.takes(now(), paceNanos);
  }

  /** Each field once: what is wrong with it may change with every reading. */
  private void sayDoubts() {
    for (Dialogue.Doubt doubt : dialogue().doubts()) {
      if (doubted.add(doubt.name())) {
        String kept =
            doubt.isKept() ? "; kept all the same" : "; left out of the reading, the rest is kept";
        listener.note(pack(), doubt.name() + " " + doubt.text() + kept);
      }
    }
  }

  private void identify(boolean isAnew) {
    String now = dialogue().boardIdentity();
    if (now.isEmpty() || (!isAnew && now.equals(identity))) {
      return;
    }
    if (!identity.isEmpty() && !identity.equals(now)) {
      listener.otherBoard(pack(), identity, now);
    }
    identity = now;
    listener.identified(pack(), now);
  }

  void missed(Gap.Cause cause) {
    misses++;
    isLate = true;
    counts = counts.threwAway(dialogue().counts().bytesThrownAway());
    silence.goesOn(cause, expectedNanos());
  }

  /** The line itself is gone: known at once. */
  void lineLost(Gap.Cause cause) {
    isFresh = true;
    askedNanos = now();
    silence.lineLost(cause);
  }

  /** This process did not run for a while. */
  void stoodStill() {
    askedNanos = now();
    silence.stoodStill(paceNanos);
  }

  /** Time goes by between two questions: says when a gap begins, and again that it lasts. */
  void rests() {
    if (isLate) {
      waits();
    } else {
      silence.repeat();
    }
  }
}
