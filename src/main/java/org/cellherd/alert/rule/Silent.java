package org.cellherd.alert.rule;

import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.AlertText;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Gap.Cause;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Pace;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Spoken;

/**
 * The board says nothing for longer than its own pace explains. Critical after a few times that
 * pace when it was last seen charging with a cell at the bleed level or above; a note after hours
 * of rest, when boards sleep; else a warning. It is over once the board was heard for as long as
 * would be called silence: a board that speaks now and then is one cause, not many.
 */
public final class Silent extends Rule {
  public static final RuleId ID = new RuleId("silent");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID,
          "the board is not heard; critical while charging at the top, a note after hours of rest.",
          Silent::defaults,
          Silent::new);

  private static final int MOST_KEPT = 1024;

  /** So long an answer is waited for where nothing else is said. */
  private static final long PATIENCE_MS = 3_000;

  /** The poller calls nothing silence before it lost one answer and waits for the second. */
  private static final int POLLER_WAITS_FOR = 2;

  private static final int NOTE = 1;
  private static final int WARNING = 2;
  private static final int CRITICAL = 3;
  private static final int RELAXED_TENTH_MV = 100;

  private final RuleSettings set;
  private final double bleedMv;
  private final double kneeMv;
  private boolean started;
  private boolean wasAtTop;
  private boolean wasHeard;
  private boolean rests;
  private int topTenthMv;

  /** Since when it is waited for: from the last reading, or from where this program was back. */
  private long heardAgeMs;

  /** When the last reading came, also where this program was away since. */
  private long readingAgeMs;

  private long restAgeMs;
  private final Pace.Polled pace = new Pace.Polled();
  private boolean isBoardsOwn;
  private boolean isAskedFast;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .number(
            "missed_count",
            3,
            1,
            1000,
            "charging at the top: critical after so many of its own paces")
        .number("warn_s", 120, 1, 86_400, "otherwise a warning after this long")
        .number("asleep_rest_h", 2, 0, 240, "after so long without current: only a note, asleep?")
        .delays(0, 0)
        .repeatedAfter(6);
  }

  Silent(PackPlan plan, RuleSettings set) {
    super(Terms.plain(set, "s", Priority.NOTE, Priority.WARNING));
    this.set = set;
    this.kneeMv = plan.limits().kneeMv();
    this.bleedMv =
        plan.board()
            .map(BoardRating::bleedFromMv)
            .orElse(OptionalInt.empty())
            .orElse(plan.limits().kneeMv());
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    LogEntry entry = input.entry();
    if (!started || entry instanceof SessionStart) {
      started = true;
      heardAgeMs = input.ageMs();
      isBoardsOwn = false;
    }
    if (input.fresh().isPresent()) {
      hear(input);
      if (out.needs(0, 0)) {
        out.judge(0, Judgement.fine().after(limitMs(input, false)));
      }
    } else if (entry instanceof Gap gap) {
      judgeGap(gap, input, out);
    }
  }

  private void hear(RuleInput input) {
    if (isBoardsOwn) {
      pace.add(input.ageMs() - heardAgeMs, isAskedFast);
    }
    isAskedFast = input.isAskedFast();
    isBoardsOwn = true;
    wasHeard = true;
    heardAgeMs = input.ageMs();
    readingAgeMs = input.ageMs();
    CellVoltages cells = input.fresh().orElseThrow().cells();
    int highest = cells.highestCell();
    boolean isHigh = highest != 0 && cells.mv(highest) >= bleedMv;
    Phase now = input.view().phase();
    boolean isHeld = isHeld(input);
    wasAtTop = isHigh && (input.isCharging() || isHeld);
    boolean isQuiet = now == Phase.REST || now == Phase.IDLE;
    boolean isResting = isQuiet || (now == Phase.HOLD && !wasAtTop);
    if (isResting && !rests) {
      restAgeMs = input.ageMs();
    }
    rests = isResting;
  }

  /**
   * True while a charger holds the pack at its top. A full pack that only rests there sinks at once
   * by more than 10 mV a cell.
   */
  private boolean isHeld(RuleInput input) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    int highest = cells.highestCell();
    if (highest == 0) {
      return false;
    }
    if (cells.mv(highest) < kneeMv) {
      topTenthMv = 0;
      return false;
    }
    int sum = cells.sumTenthMv().orElse(topTenthMv);
    topTenthMv = Math.max(topTenthMv, sum);
    return input.view().phase() == Phase.HOLD
        && sum >= topTenthMv - RELAXED_TENTH_MV * cells.count();
  }

  private void judgeGap(Gap gap, RuleInput input, Verdicts out) {
    isBoardsOwn &= isBoardsOwn(gap.cause());
    if (gap.cause() == Cause.NOT_RUNNING || gap.cause() == Cause.SKIPPED) {
      heardAgeMs = input.ageMs();
      return;
    }
    long silentMs = input.ageMs() - heardAgeMs;
    boolean isLineGone = gap.cause() == Cause.PORT_MISSING || gap.cause() == Cause.PORT_REFUSED;
    long limitMs = limitMs(input, isLineGone);
    boolean isAsleep = gap.cause() == Cause.NO_BYTES && hasRested();
    int level = wasAtTop ? CRITICAL : isAsleep ? NOTE : WARNING;
    long readingMs = input.timeMs() - (wasHeard ? input.ageMs() - readingAgeMs : silentMs);
    String lastReading = AlertText.timeOfDay(readingMs, input.timeMs(), input.zone());
    out.judge(
        0,
        new Judgement(
                silentMs >= limitMs ? level : 0,
                false,
                Double.NaN,
                limitMs / 1000.0,
                () -> words(level, gap, readingMs, lastReading))
            .heldFor(silentMs));
  }

  /** A few times the board's own pace, but not before what the owner wants to wait in rest. */
  private long limitMs(RuleInput input, boolean isLineGone) {
    double count = set.number("missed_count");
    double usualMs = pace.usualMs(input.pollMs(), input.askedMs(isAskedFast), PATIENCE_MS);
    // Lost answers explain a quiet line, but not one that is gone.
    double lost = isLineGone && pace.isKnown() ? 0 : count * pace.doubt();
    // Each is waited for; then the next question is given its time.
    double waitedMs = lost > POLLER_WAITS_FOR ? 2 * usualMs + (lost - 1) * PATIENCE_MS : 0;
    long limitMs = Math.round(Math.max(Math.max(count, lost) * usualMs, waitedMs));
    return wasAtTop ? limitMs : Math.max(limitMs, set.ms("warn_s"));
  }

  /**
   * True when the pack had rested so long that a board which falls silent is most likely asleep.
   */
  public boolean hasRested() {
    return rests && heardAgeMs - restAgeMs >= set.ms("asleep_rest_h");
  }

  /** True for a silence that tells of the board's own manner, not of the line or this program. */
  private static boolean isBoardsOwn(Cause cause) {
    return switch (cause) {
      case NO_BYTES, BAD_CHECKSUM, WRONG_ANSWER, DECLINED -> true;
      case PORT_MISSING, PORT_REFUSED, NOT_RUNNING, SKIPPED, UNKNOWN -> false;
    };
  }

  private Words words(int level, Gap gap, long readingMs, String lastReading) {
    String what = "The board is silent";
    String last =
        cause(gap.cause())
            + (wasHeard
                ? "; the last reading came at " + lastReading + "."
                : "; it has not been heard yet.");
    Facts evidence =
        Facts.of()
            .put("cause", gap.cause().word())
            .putTime("last_heard", readingMs)
            .put("was_charging_at_top", wasAtTop)
            .put("was_heard", wasHeard)
            .build();
    return switch (level) {
      case CRITICAL ->
          new Words(
              what,
              last + " A cell was at the top of a charge then; nobody watches that cell now.",
              "Stop the charge first. " + step(gap.cause()),
              evidence);
      case NOTE ->
          new Words(
              what,
              "%s The pack had rested for %s: the board may be asleep."
                  .formatted(last, Spoken.duration(heardAgeMs - restAgeMs)),
              "Wake the board with a small load or charge if you need readings.",
              evidence);
      default -> new Words(what, last + shortRest(gap.cause()), step(gap.cause()), evidence);
    };
  }

  /** Boards sleep after a time that only their owner knows. */
  private String shortRest(Cause cause) {
    long restedMs = heardAgeMs - restAgeMs;
    return cause == Cause.NO_BYTES && wasHeard && rests && restedMs > 0
        ? " The pack had rested for "
            + Spoken.duration(restedMs)
            + ". If its board sleeps after so long, asleep_rest_h in [alert.silent] makes this a"
            + " note."
        : "";
  }

  private static String cause(Cause cause) {
    return switch (cause) {
      case PORT_MISSING -> "The port is missing";
      case PORT_REFUSED -> "The port cannot be opened";
      case NO_BYTES -> "The line is quiet";
      case BAD_CHECKSUM -> "Bytes arrive, but no frame passes its check";
      case WRONG_ANSWER -> "Frames arrive, but not the answer";
      case DECLINED -> "The board answers with an error";
      case NOT_RUNNING, SKIPPED, UNKNOWN -> "The cause is not known";
    };
  }

  private static String step(Cause cause) {
    return switch (cause) {
      case PORT_MISSING -> "Check that the adapter is plugged in and has power.";
      case PORT_REFUSED -> "Check whether another program holds the port, then its permissions.";
      case BAD_CHECKSUM -> "Check the cable and its ground, then the baud rate.";
      case WRONG_ANSWER ->
          "Check which board the cable goes to, then address and description in the config.";
      case DECLINED ->
          "Check that description and address in the config are this board's; "
              + "a board at work may answer so for a while.";
      case NO_BYTES, NOT_RUNNING, SKIPPED, UNKNOWN ->
          "Check the cable, then the board's power, then port and baud rate in the config.";
    };
  }

  @Override
  public void state(State io) {
    started = io.flag(started);
    wasAtTop = io.flag(wasAtTop);
    wasHeard = io.flag(wasHeard);
    rests = io.flag(rests);
    topTenthMv = io.number(topTenthMv);
    heardAgeMs = io.number(heardAgeMs);
    readingAgeMs = io.number(readingAgeMs);
    restAgeMs = io.number(restAgeMs);
    isBoardsOwn = io.flag(isBoardsOwn);
    isAskedFast = io.flag(isAskedFast);
    pace.both().forEach(each -> state(each, io));
  }

  private static void state(Pace pace, State io) {
    long[] now = pace.kept();
    int count = io.within(now.length, 0, MOST_KEPT);
    long[] kept = io.isRestoring() ? new long[count] : now;
    io.each(kept);
    if (io.isRestoring()) {
      pace.restore(kept);
    }
  }
}
