package org.cellherd.board;

import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Request;

/**
 * Puts requests to the boards of an open line, each until it is answered or asking again is of no
 * use. Belongs to the poller's thread.
 */
final class Questions {
  private static final long NANOS_PER_MS = 1_000_000L;

  /**
   * A busy board is left so long before it is asked again, then twice as long, at most a second: a
   * board that writes to its memory is soon done, and one that is at work on more is not hammered.
   */
  private static final long FIRST_REST_NANOS = 100_000_000L;

  private static final long LONGEST_REST_NANOS = 1_000_000_000L;

  /** While late answers are waited for, silence is looked at so often. */
  private static final long LOOK_NANOS = 250_000_000L;

  /** A silent board has at most the twelfth part of a line that others are due on. */
  private static final long SILENT_PART = 12;

  /**
   * So long the others of a line wait for a board that was never heard: the least that the standard
   * calls typical (Modbus over serial line V1.02, 2.4.1: 1 s to several at 9600 bit/s).
   */
  private static final long FIRST_WAIT_MS = 1000;

  private final HalfDuplexLine line;
  private final TimeSource time;
  private final PollSettings settings;
  private final List<PolledBoard> boards;
  private final boolean tellsAnswersApart;
  private final Rest rest;
  private final BooleanSupplier isStopping;
  private long quietUntil;
  private boolean isRepeated;

  /** Lets time pass to a monotonic time while gaps are told, or until the poller stops. */
  @FunctionalInterface
  interface Rest {
    void until(long nanos) throws InterruptedException;
  }

  Questions(
      HalfDuplexLine line,
      TimeSource time,
      PollSettings settings,
      List<PolledBoard> boards,
      boolean tellsAnswersApart,
      Rest rest,
      BooleanSupplier isStopping) {
    this.line = line;
    this.time = time;
    this.settings = settings;
    this.boards = boards;
    this.tellsAnswersApart = tellsAnswersApart;
    this.rest = rest;
    this.isStopping = isStopping;
    this.quietUntil = time.monotonicNanos();
  }

  HalfDuplexLine line() {
    return line;
  }

  /** Until then nothing is sent, because a board that missed a question needs quiet. */
  long quietUntilNanos() {
    return quietUntil;
  }

  /** Asks, and asks again where a frame came broken or the board was busy. */
  Outcome ask(PolledBoard board, Request first) throws LinkException, InterruptedException {
    Exchange exchange = new Exchange(line, time, board, settings.answerMs());
    long until = time.monotonicNanos() + board.answers().wholeNanos();
    long pause = FIRST_REST_NANOS;
    int retries = board.isSilent() ? 0 : settings.retries();
    // What need not be told is not worth a reading of the rest, which asking twice would cost.
    boolean mayRepeat = !board.isSilent() && !board.dialogue().canDoWithout();
    int repeats = mayRepeat ? board.answers().repeats() : 0;
    isRepeated = false;
    Optional<Request> request = Optional.of(first);
    Outcome outcome = Outcome.SILENT;
    while (request.isPresent()) {
      long whole = waitNanos(board);
      long wait = repeats > 0 ? Math.min(whole, board.answers().noticedNanos()) : whole;
      outcome = once(board, exchange, request.get(), wait);
      long next = time.monotonicNanos() + pause;
      if (outcome == Outcome.BUSY && next < until) {
        board.busy();
        rest.until(next);
        pause = Math.min(LONGEST_REST_NANOS, 2 * pause);
      } else if (retries > 0 && outcome.deservesRetry() && !exchange.hasWaited()) {
        retries--;
        rest.until(quietUntil);
      } else if (wait < whole && exchange.hasWaited()) {
        repeats--;
        isRepeated = true;
        if (repeats == 0 && board.nextNanos() < until) {
          // A board that was mute for one poll answers in the next.
          rest.until(board.nextNanos());
        }
      } else {
        return outcome;
      }
      request = isStopping.getAsBoolean() ? Optional.empty() : again(board);
    }
    return outcome;
  }

  private static Optional<Request> again(PolledBoard board) {
    Optional<Request> again = board.dialogue().retry();
    again.ifPresent(r -> board.retried());
    return again;
  }

  private Outcome once(PolledBoard board, Exchange exchange, Request request, long waitNanos)
      throws LinkException, InterruptedException {
    long asked = time.monotonicNanos();
    board.asked(board.answers().waitNanos());
    Outcome outcome = exchange.ask(request, waitNanos);
    if (line.takeStandstill()) {
      boards.forEach(PolledBoard::stoodStill);
    }
    if (!outcome.isAnswer()) {
      quietUntil = time.monotonicNanos() + quietNanos(board);
    } else if (!isRepeated) {
      board.answered();
    }
    if (outcome == Outcome.SILENT) {
      board.answers().missed(asked);
    }
    return outcome;
  }

  /**
   * True unless more comes after an answer: then one to a question that was given up came late, and
   * each may have been taken for that to the question after its own.
   */
  boolean isSettled(PolledBoard board) throws LinkException {
    if (isRepeated) {
      board.answeredLate();
      waitForStrays(board);
      return false;
    }
    if (tellsAnswersApart || board.dialogue().tellsAnswersApart() || !board.mayHearStray()) {
      return true;
    }
    long until =
        time.monotonicNanos()
            + board.answers().settledNanos()
            + line.pauseMs() * NANOS_PER_MS
            + line.settings().wireNanos(1);
    while (time.monotonicNanos() < until) {
      if (line.read(until - time.monotonicNanos()) > 0) {
        board.heardStray();
        return false;
      }
    }
    return true;
  }

  /** Each answer to a question that was asked more than once may be followed by one more. */
  private void waitForStrays(PolledBoard board) throws LinkException {
    long whole = board.answers().wholeNanos();
    long latest = time.monotonicNanos() + (1 + board.answers().repeats()) * whole;
    long until = time.monotonicNanos() + whole;
    while (time.monotonicNanos() < Math.min(until, latest) && !isStopping.getAsBoolean()) {
      if (line.read(Math.min(until - time.monotonicNanos(), LOOK_NANOS)) > 0) {
        board.heardStray();
        board.answeredLate();
        until = time.monotonicNanos() + whole;
      }
      if (!line.hasStoodStill()) {
        board.waits();
      }
    }
  }

  private static long quietNanos(PolledBoard board) {
    return board.dialogue().patience().quietAfterMissMs() * NANOS_PER_MS;
  }

  /** The whole patience, or less where that would hold up others for a board that may be gone. */
  private long waitNanos(PolledBoard board) {
    long whole = board.answers().waitNanos();
    if (isStated(board) || board.isWaitedFor()) {
      return whole;
    }
    long due =
        boards.stream()
            .filter(b -> b != board)
            .mapToLong(PolledBoard::dueNanos)
            .min()
            .orElse(Long.MAX_VALUE);
    long least = board.isSilent() ? settings.answerMs() : FIRST_WAIT_MS;
    return Math.min(whole, Math.max(least * NANOS_PER_MS, due - time.monotonicNanos()));
  }

  private static boolean isStated(PolledBoard board) {
    return board.dialogue().patience().answerWithinMs().isPresent();
  }

  /**
   * How seldom a board may be asked while it is silent, so that the others of its line lose less
   * than a tenth of their time to it, ns; 0 where it has the line alone. Short waits take half of
   * that; the other half is left for the question that is waited for in full.
   */
  long silentPaceNanos(PolledBoard board) {
    if (boards.size() == 1) {
      return 0;
    }
    long wait =
        isStated(board) ? board.answers().wholeNanos() : 2L * settings.answerMs() * NANOS_PER_MS;
    return SILENT_PART * (wait + line.pauseMs() * NANOS_PER_MS + quietNanos(board));
  }
}
