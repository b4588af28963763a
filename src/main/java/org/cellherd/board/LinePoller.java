package org.cellherd.board;

import java.time.Duration;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.Request;
import org.jspecify.annotations.Nullable;

/**
 * Polls, or listens to, the boards of one line and reports what it hears. A line that fails is
 * opened again for ever, less and less often. One thread runs it; {@link #setPace}, {@link #counts}
 * and {@link #stop} may come from any.
 */
public final class LinePoller implements Runnable {
  /** Polls without a good frame after which a network link is opened anew. */
  private static final int REOPEN_AFTER_MISSES = 5;

  private static final System.Logger LOG = System.getLogger(LinePoller.class.getName());

  /** Longest wait in which a new pace or a stop goes unnoticed. */
  private static final long SLICE_NANOS = 150_000_000L;

  private static final long LONGEST_STEP_NANOS = 10_000_000_000L;

  /** A wait that takes so much longer than asked for: this process was stopped meanwhile. */
  static final long STOOD_STILL_NANOS = 2_000_000_000L;

  private static final int MOST_REQUESTS = 512;
  private static final int MOST_DISTINCT_ERRORS = 100;
  private static final byte[] NOTHING = {};

  private final Link link;
  private final TimeSource time;
  private final LineClock clock;
  private final PollSettings settings;
  private final BoardListener listener;
  private final LineSettings lineSettings;
  private final List<PolledBoard> boards;
  private final boolean isListening;
  private final BackOff backOff = new BackOff();
  private final Set<String> unexpected = new HashSet<>();
  private @Nullable Questions questions;
  private long openAt;
  private int framelessPolls;
  private String toldFailure = "";
  private volatile boolean isStopping;
  private @Nullable Thread runner;

  /** A poller with {@link PollSettings#DEFAULT}; see the other constructor. */
  public LinePoller(Link link, List<BoardOnLine> boards, LineClock clock, BoardListener listener) {
    this(link, boards, PollSettings.DEFAULT, clock, listener);
  }

  /**
   * A poller of a closed link.
   *
   * @throws IllegalArgumentException with the text of {@link #problem} when these boards cannot
   *     share a line
   */
  public LinePoller(
      Link link,
      List<BoardOnLine> boards,
      PollSettings settings,
      LineClock clock,
      BoardListener listener) {
    problem(boards)
        .ifPresent(
            text -> {
              throw new IllegalArgumentException(text);
            });
    this.link = link;
    this.time = clock.time();
    this.clock = clock;
    this.settings = settings;
    this.listener = listener;
    this.lineSettings = boards.get(0).line();
    this.isListening = boards.get(0).dialogue().isListenOnly();
    this.boards =
        boards.stream()
            .map(
                b ->
                    new PolledBoard(
                        b,
                        clock,
                        listener,
                        GapAfter.of(b, boards.size() == 1),
                        answerTimes(b, boards.size() == 1)))
            .toList();
    this.openAt = time.monotonicNanos();
  }

  private AnswerTimes answerTimes(BoardOnLine board, boolean isAlone) {
    Dialogue dialogue = board.dialogue();
    boolean tells = dialogue.tellsAnswersApart() || link.tellsAnswersApart();
    return new AnswerTimes(settings, dialogue.patience(), isAlone, tells, time.monotonicNanos());
  }

  /** Why boards cannot share one line, or empty when they can. */
  public static Optional<String> problem(List<BoardOnLine> boards) {
    if (boards.isEmpty()) {
      return Optional.of("a line needs at least one board");
    }
    BoardOnLine first = boards.get(0);
    Set<String> packs = new HashSet<>();
    for (BoardOnLine board : boards) {
      if (!board.line().equals(first.line())) {
        return Optional.of(
            "packs %s and %s share a line but not its settings"
                .formatted(first.pack(), board.pack()));
      }
      if (board.dialogue().isListenOnly() != first.dialogue().isListenOnly()) {
        return Optional.of(
            "packs "
                + first.pack()
                + " and "
                + board.pack()
                + " share a line, but one board must be asked and the other talks by itself");
      }
      if (!packs.add(board.pack())) {
        return Optional.of("one line has the pack " + board.pack() + " twice");
      }
    }
    return Optional.empty();
  }

  /** Polls until {@link #stop}. */
  @Override
  public void run() {
    begin();
    try {
      while (!isStopping) {
        try {
          step();
        } catch (InterruptedException e) {
          // Only stop() means it; any other interrupt must not end the watch over a pack.
          LOG.log(System.Logger.Level.DEBUG, "interrupted", e);
        }
      }
    } finally {
      end();
    }
  }

  private synchronized void begin() {
    runner = Thread.currentThread();
  }

  private synchronized void end() {
    runner = null;
    link.close();
  }

  /** Asks {@link #run} to end, which it does within 200 ms; it closes the link. */
  public synchronized void stop() {
    isStopping = true;
    if (runner != null) {
      runner.interrupt();
    }
  }

  /** The edge of the duty: whatever goes wrong is said once, the watch goes on. */
  private void survive(RuntimeException e) {
    say(e);
    link.close();
    openAt = time.monotonicNanos() + backOff.afterFailure();
    for (PolledBoard board : boards) {
      // Nothing was heard, whoever failed: without a gap nobody could tell that a board is silent.
      try {
        board.missed(Gap.Cause.UNKNOWN);
      } catch (RuntimeException listenerFails) {
        say(listenerFails);
      }
    }
  }

  private void say(RuntimeException e) {
    String text = "unexpected " + e;
    if (unexpected.size() < MOST_DISTINCT_ERRORS && unexpected.add(text)) {
      LOG.log(System.Logger.Level.ERROR, text, e);
    }
  }

  /** Changes the pace of a pack's polling, from the next poll on; unknown packs are ignored. */
  public void setPace(String pack, Duration pace) {
    if (pace.isNegative() || pace.isZero()) {
      throw new IllegalArgumentException("pace " + pace + " of pack " + pack + " is not positive");
    }
    boards.stream().filter(b -> b.pack().equals(pack)).forEach(b -> b.setPace(pace));
  }

  /** Counts of a pack's polling so far; zeros for an unknown pack. */
  public Counts counts(String pack) {
    return boards.stream()
        .filter(b -> b.pack().equals(pack))
        .findFirst()
        .map(PolledBoard::counts)
        .orElse(Counts.NONE);
  }

  /** Monotonic time of this line's next deed, ns: drives several pollers in turn by one clock. */
  public long nextNanos() {
    return link.isOpen() ? nextBoard().dueNanos() : openAt;
  }

  /**
   * One cycle: waits for what is due and does it (opens the line, polls one board, listens).
   * Whatever fails in it is survived.
   */
  public void step() throws InterruptedException {
    try {
      Questions now = questions;
      if (!link.isOpen() || now == null) {
        reopen();
      } else if (isListening) {
        listen(now.line());
      } else {
        PolledBoard board = nextBoard();
        if (await(Math.max(board.dueNanos(), now.quietUntilNanos()))) {
          board.begin();
          judge(board, poll(board, now));
          board.setSilentPace(now.silentPaceNanos(board));
        }
      }
    } catch (LinkException e) {
      if (!isStopping) {
        lost(e);
      }
    } catch (RuntimeException e) {
      survive(e);
    }
  }

  private PolledBoard nextBoard() {
    return boards.stream().min(Comparator.comparingLong(PolledBoard::dueNanos)).orElseThrow();
  }

  private void reopen() throws LinkException, InterruptedException {
    rest(Math.min(openAt, time.monotonicNanos() + LONGEST_STEP_NANOS));
    if (time.monotonicNanos() < openAt || isStopping) {
      return;
    }
    link.open(lineSettings);
    HalfDuplexLine line = new HalfDuplexLine(link, clock, lineSettings);
    questions =
        new Questions(
            line, time, settings, boards, link.tellsAnswersApart(), this::rest, () -> isStopping);
    framelessPolls = 0;
  }

  /** Waits until something is due, or for the longest step; false when it is not yet. */
  private boolean await(long due) throws InterruptedException {
    rest(Math.min(due, time.monotonicNanos() + LONGEST_STEP_NANOS));
    return time.monotonicNanos() >= due && !isStopping;
  }

  private void rest(long until) throws InterruptedException {
    while (time.monotonicNanos() < until && !isStopping) {
      sleepSlice(until);
      boards.forEach(PolledBoard::rests);
    }
  }

  private void sleepSlice(long until) throws InterruptedException {
    long before = time.monotonicNanos();
    long asked = Math.max(0, Math.min(SLICE_NANOS, until - before));
    time.sleepNanos(asked);
    if (time.monotonicNanos() - before - asked > STOOD_STILL_NANOS) {
      boards.forEach(PolledBoard::stoodStill);
    }
  }

  private void sayStandstill(HalfDuplexLine on) {
    if (on.takeStandstill()) {
      boards.forEach(PolledBoard::stoodStill);
    }
  }

  private Outcome poll(PolledBoard board, Questions ask)
      throws LinkException, InterruptedException {
    board.dialogue().begin();
    for (int i = 0; i < MOST_REQUESTS; i++) {
      Optional<Request> request = board.dialogue().nextRequest();
      if (request.isEmpty()) {
        break;
      }
      Outcome outcome = ask.ask(board, request.get());
      if (outcome != Outcome.ANSWERED && !board.dialogue().canDoWithout()) {
        return outcome;
      }
      if (!ask.isSettled(board)) {
        return Outcome.WRONG;
      }
      if (!outcome.isAnswer()) {
        // What comes late would pass for the answer to a further question.
        break;
      }
    }
    Optional<Reading> reading = board.dialogue().reading(ask.line().heardAtMs());
    reading.ifPresent(board::heard);
    if (reading.isEmpty()) {
      // Answers may be out of step with questions: whatever is under way is waited for.
      board.asked(board.answers().longestNanos());
    }
    return reading.isPresent() ? Outcome.ANSWERED : Outcome.WRONG;
  }

  private void judge(PolledBoard board, Outcome outcome) {
    if (isStopping && outcome != Outcome.ANSWERED) {
      return;
    }
    if (outcome == Outcome.ANSWERED) {
      framelessPolls = 0;
      backOff.reset();
      toldFailure = "";
      return;
    }
    board.missed(outcome.cause());
    boolean mayCome = outcome.isFrame() || board.isFirstDue();
    framelessPolls = mayCome ? 0 : framelessPolls + 1;
    if (link.mayBeHalfOpen() && framelessPolls >= REOPEN_AFTER_MISSES * boards.size()) {
      tell(advised(link.name() + ": connected but silent, connecting anew"));
      link.close();
      openAt = time.monotonicNanos();
    }
  }

  private void listen(HalfDuplexLine on) throws LinkException {
    long until = time.monotonicNanos() + SLICE_NANOS;
    int n = on.read(SLICE_NANOS);
    sayStandstill(on);
    while (n > 0) {
      hear(on, n);
      n = on.read(on.messageEndNanos());
      if (isStopping || time.monotonicNanos() > until + LONGEST_STEP_NANOS) {
        break;
      }
    }
    for (PolledBoard board : boards) {
      if (n == 0 && isOver(board, on)) {
        take(board, board.dialogue().silence(), on);
      }
      if (time.monotonicNanos() >= board.dueNanos()) {
        judge(board, board.heardInstead());
        board.begin();
      }
    }
  }

  /**
   * A pause ends a message where only silence does; elsewhere it must last as long as an answer.
   */
  private boolean isOver(PolledBoard board, HalfDuplexLine on) {
    long quiet = time.monotonicNanos() - on.busyUntil();
    return board.dialogue().endsBySilence()
        || quiet > (settings.answerMs() + (long) on.pauseMs()) * 1_000_000L;
  }

  private void hear(HalfDuplexLine on, int n) {
    for (PolledBoard board : boards) {
      take(board, board.dialogue().feed(on.bytes(), 0, n), on);
    }
  }

  private void take(PolledBoard board, Progress first, HalfDuplexLine on) {
    Progress progress = first;
    for (int i = 0; progress != Progress.NEED_MORE && i < MOST_REQUESTS; i++) {
      if (progress == Progress.REFUSED) {
        board.dialogue().lastRefusal().ifPresent(board::refused);
      } else {
        board.dialogue().reading(on.heardAtMs()).ifPresent(board::heard);
        judge(board, Outcome.ANSWERED);
      }
      progress = board.dialogue().feed(NOTHING, 0, 0);
    }
  }

  private void lost(LinkException e) {
    link.close();
    boards.forEach(b -> b.lineLost(e.kind()));
    openAt = time.monotonicNanos() + backOff.afterFailure();
    tell(advised(String.valueOf(e.getMessage())));
  }

  private String advised(String text) {
    return link.advice().isEmpty() ? text : text + "; " + link.advice();
  }

  /** Tells a failure of the line once, until the line has worked again. */
  private void tell(String text) {
    if (!text.equals(toldFailure)) {
      toldFailure = text;
      boards.forEach(b -> listener.note(b.pack(), text));
    }
  }

  /**
   * What one board's polling came to since the poller was made. Immutable.
   *
   * @param polls polls begun (of a board that talks by itself: readings waited for)
   * @param answered polls that gave a reading
   * @param retries requests sent again
   * @param refusals frames that were refused, by reason; reasons that never came are absent
   * @param bytesThrownAway bytes that belonged to no frame
   */
  public record Counts(
      long polls,
      long answered,
      long retries,
      Map<Refusal.Reason, Long> refusals,
      long bytesThrownAway) {

    public static final Counts NONE = new Counts(0, 0, 0, Map.of(), 0);

    public Counts {
      refusals = Map.copyOf(refusals);
    }

    Counts polled() {
      return new Counts(polls + 1, answered, retries, refusals, bytesThrownAway);
    }

    Counts heard() {
      return new Counts(polls, answered + 1, retries, refusals, bytesThrownAway);
    }

    Counts retried() {
      return new Counts(polls, answered, retries + 1, refusals, bytesThrownAway);
    }

    Counts threwAway(long total) {
      return new Counts(polls, answered, retries, refusals, total);
    }

    Counts refused(Refusal.Reason reason) {
      Map<Refusal.Reason, Long> more = new EnumMap<>(Refusal.Reason.class);
      more.putAll(refusals);
      more.merge(reason, 1L, Long::sum);
      return new Counts(polls, answered, retries, more, bytesThrownAway);
    }
  }
}
