package org.cellherd.alert.rule;

import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Gap.Cause;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Spoken;

/**
 * The board says nothing. Critical after a few missed polls when it was last seen charging with a
 * cell at the bleed level or above; a note after hours of rest, when boards sleep; else a warning.
 */
final class Silent implements Rule {
  private static final int NOTE = 1;
  private static final int WARNING = 2;
  private static final int CRITICAL = 3;
  private static final int RELAXED_TENTH_MV = 100;

  private final Terms terms;
  private final RuleSettings set;
  private final double bleedMv;
  private final double kneeMv;
  private boolean started;
  private boolean wasAtTop;
  private boolean wasHeard;
  private boolean rests;
  private int topTenthMv;
  private long heardAgeMs;
  private long restAgeMs;

  Silent(PackPlan plan, RuleSettings set) {
    this.terms = Terms.plain(set, "s", Priority.NOTE, Priority.WARNING);
    this.set = set;
    this.kneeMv = plan.limits().kneeMv();
    this.bleedMv =
        plan.board()
            .map(BoardRating::bleedFromMv)
            .orElse(OptionalInt.empty())
            .orElse(plan.limits().kneeMv());
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    LogEntry entry = scene.entry();
    if (!started || entry instanceof SessionStart) {
      started = true;
      heardAgeMs = scene.ageMs();
    }
    if (scene.fresh().isPresent()) {
      hear(scene);
      out.judge(0, Judgement.fine());
    } else if (entry instanceof Gap gap) {
      judgeGap(gap, scene, out);
    }
  }

  private void hear(Scene scene) {
    wasHeard = true;
    heardAgeMs = scene.ageMs();
    CellVoltages cells = scene.fresh().orElseThrow().cells();
    int highest = cells.highestCell();
    boolean isHigh = highest != 0 && cells.mv(highest) >= bleedMv;
    FrameClass now = scene.view().frameClass();
    boolean isHeld = isHeld(scene);
    wasAtTop = isHigh && (scene.isCharging() || isHeld);
    boolean isResting = now == FrameClass.REST || (now == FrameClass.HOLD && !wasAtTop);
    if (isResting && !rests) {
      restAgeMs = scene.ageMs();
    }
    rests = isResting;
  }

  /**
   * True while a charger holds the pack at its top. A full pack that only rests there sinks at once
   * by more than 10 mV a cell.
   */
  private boolean isHeld(Scene scene) {
    CellVoltages cells = scene.cells().orElse(CellVoltages.NONE);
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
    return scene.view().frameClass() == FrameClass.HOLD
        && sum >= topTenthMv - RELAXED_TENTH_MV * cells.count();
  }

  private void judgeGap(Gap gap, Scene scene, Verdicts out) {
    if (gap.cause() == Cause.NOT_RUNNING || gap.cause() == Cause.SKIPPED) {
      heardAgeMs = scene.ageMs();
      return;
    }
    long silentMs = scene.ageMs() - heardAgeMs;
    boolean sleeps = rests && heardAgeMs - restAgeMs >= set.ms("asleep_rest_h");
    long limitMs =
        wasAtTop ? Math.round(set.number("missed_count") * scene.pollMs()) : set.ms("warn_s");
    int level = wasAtTop ? CRITICAL : sleeps ? NOTE : WARNING;
    out.judge(
        0,
        new Judgement(
            silentMs >= limitMs ? level : 0,
            false,
            silentMs / 1000.0,
            limitMs / 1000.0,
            () -> words(level, gap.cause(), silentMs)));
  }

  private Words words(int level, Cause cause, long silentMs) {
    String what =
        "The board has said nothing for " + Spoken.duration(silentMs) + ", " + cause(cause);
    Facts evidence =
        Facts.of()
            .put("cause", cause.word())
            .put("silent_s", silentMs / 1000)
            .put("was_charging_at_top", wasAtTop)
            .put("was_heard", wasHeard)
            .build();
    return switch (level) {
      case CRITICAL ->
          new Words(
              what,
              "It was last seen with a cell at the top of a charge; nobody watches that cell now.",
              "Stop the charge, then look at cable and board.",
              evidence);
      case NOTE ->
          new Words(
              what,
              "The pack had rested for hours: the board may be asleep.",
              "Wake the board with a small load or charge if you need readings.",
              evidence);
      default -> Words.of(what, step(cause), evidence);
    };
  }

  private static String cause(Cause cause) {
    return switch (cause) {
      case PORT_MISSING -> "the port is not there";
      case PORT_REFUSED -> "the port cannot be opened";
      case NO_BYTES -> "the line is quiet";
      case BAD_CHECKSUM -> "bytes come but no frame passes its check";
      case WRONG_ANSWER -> "the answers do not belong to our questions";
      case NOT_RUNNING, SKIPPED, UNKNOWN -> "the cause is not known";
    };
  }

  private static String step(Cause cause) {
    return switch (cause) {
      case PORT_MISSING -> "Look whether the adapter is plugged in.";
      case PORT_REFUSED -> "Look which other program holds the port, and at its rights.";
      case BAD_CHECKSUM -> "Look at baud rate, cable length and ground.";
      case WRONG_ANSWER -> "Look at address and board description.";
      case NO_BYTES, NOT_RUNNING, SKIPPED, UNKNOWN -> "Look at cable, power and board.";
    };
  }

  @Override
  public void save(StateWriter out) {
    out.putBoolean(started).putBoolean(wasAtTop).putBoolean(wasHeard).putBoolean(rests);
    out.putLong(topTenthMv).putLong(heardAgeMs).putLong(restAgeMs);
  }

  @Override
  public void restore(StateReader in) {
    started = in.getBoolean();
    wasAtTop = in.getBoolean();
    wasHeard = in.getBoolean();
    rests = in.getBoolean();
    topTenthMv = in.getInt();
    heardAgeMs = in.getLong();
    restAgeMs = in.getLong();
  }
}
