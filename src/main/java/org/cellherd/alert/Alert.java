package org.cellherd.alert;

import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * One alert as it stands: what is published as its JSON.
 *
 * @param id the same from pending to over, also after a restart; never derived from time alone
 * @param key which alert
 * @param state where it stands
 * @param priority how bad
 * @param sinceMs when the condition began, ms UTC
 * @param timeMs when it was last confirmed, or when it was over or this event happened, ms UTC
 * @param value the value that matters, in {@code unit}; NaN when there is none
 * @param limit the limit it is compared with, in {@code unit}; NaN when there is none
 * @param unit such as {@code mV}
 * @param text what, which cell, how bad, since when: one wording for log, MQTT, page and report
 * @param firstStep what to do first; empty when it is over
 * @param evidence the numbers behind it
 * @param acknowledgedBy who saw it
 * @param clockSure false when the time may be wrong
 */
public record Alert(
    String id,
    AlertKey key,
    AlertState state,
    Priority priority,
    long sinceMs,
    long timeMs,
    double value,
    double limit,
    String unit,
    String text,
    String firstStep,
    Facts evidence,
    Optional<String> acknowledgedBy,
    boolean clockSure) {

  public Alert named(String otherId) {
    return with(otherId, state, timeMs, text);
  }

  /** The same, over from a time on: nothing judges it any more, and the text says why. */
  public Alert ended(long atMs, String why) {
    return with(id, AlertState.NORMAL, atMs, why + text);
  }

  public Alert saying(String otherText) {
    return with(id, state, timeMs, otherText);
  }

  private Alert with(String otherId, AlertState otherState, long otherMs, String otherText) {
    return new Alert(
        otherId,
        key,
        otherState,
        priority,
        sinceMs,
        otherMs,
        value,
        limit,
        unit,
        otherText,
        firstStep,
        evidence,
        acknowledgedBy,
        clockSure);
  }

  /** How the text of an alert begins whose condition holds no more while it is not over yet. */
  public static final String GONE = "No longer the case since ";

  /** True while the condition holds no more, and it waits whether it comes back. */
  public boolean isGone() {
    return state != AlertState.RETURNED && text.startsWith(GONE);
  }

  /** The alert's JSON of the topic {@code <pack>/alert/...}. */
  public Facts facts() {
    Facts.Builder b =
        Facts.of().put("id", id).put("rule", key.rule().word()).put("pack", key.pack());
    if (key.cell() == 0) {
      b.putUnknown("cell");
    } else {
      b.put("cell", key.cell());
    }
    return b.put("state", state.word())
        .put("priority", priority.word())
        .putTime("since", sinceMs)
        .putTime("time", timeMs)
        .put("value", value, 3)
        .put("limit", limit, 3)
        .put("unit", unit)
        .put("text", text)
        .put("first_step", firstStep)
        .put("evidence", evidence)
        .put("acknowledged_by", acknowledgedBy.orElse(null))
        .put("clock", clockSure ? "sure" : "unsure")
        .build();
  }

  /**
   * How bad an alert was at its worst; it travels among the alert's evidence. While the alert is
   * active only what and when are known, and only where that was worse than what it says.
   *
   * @param what which cell and how bad at its worst, a clause without full stop
   * @param atMs when that was, ms UTC
   * @param lastedMs how long its condition held, pauses and silences left out, ms
   * @param goneMs when its condition was gone, which may be long before it counts as over, ms UTC
   */
  public record Peak(String what, long atMs, long lastedMs, long goneMs) {
    private static final String WHAT = "worst";
    private static final String AT = "worst_at";
    private static final String LASTED = "lasted_s";
    private static final String GONE = "over_since";
    private static final Set<String> NAMES = Set.of(WHAT, AT, LASTED, GONE);
    private static final double MS_PER_S = 1000;

    /** The evidence with this added. */
    public Facts in(Facts evidence) {
      return Facts.of()
          .putAll(evidence)
          .put(WHAT, what)
          .putTime(AT, atMs)
          .put(LASTED, lastedMs / MS_PER_S, 0)
          .putTime(GONE, goneMs)
          .build();
    }

    /** The evidence of an alert that is active, and was worse before, with that added. */
    public static Facts soFar(Facts evidence, String what, long atMs) {
      return Facts.of().putAll(evidence).put(WHAT, what).putTime(AT, atMs).build();
    }

    /** The evidence of an alert without what is said of its peak. */
    public static Facts without(Facts evidence) {
      return new Facts(evidence.list().stream().filter(f -> !NAMES.contains(f.name())).toList());
    }

    /** The peak of an alert that is over, or was worse than it is; empty where none was noted. */
    public static Optional<Peak> of(Alert alert) {
      Facts evidence = alert.evidence();
      Optional<String> what = evidence.text(WHAT);
      if (what.isEmpty() || !(evidence.get(AT).orElse("") instanceof Fact.Time at)) {
        return Optional.empty();
      }
      double seconds = evidence.number(LASTED).orElse(0);
      long goneMs =
          evidence.get(GONE).orElse("") instanceof Fact.Time gone ? gone.ms() : alert.timeMs();
      return Optional.of(new Peak(what.get(), at.ms(), Math.round(seconds * MS_PER_S), goneMs));
    }
  }

  /**
   * By how much the clock was wrong whose times an alert's text tells. It travels among the alert's
   * evidence once the alert was given its right times.
   *
   * @param aheadMs positive when it was ahead, ms
   */
  public record ClockError(long aheadMs) {
    private static final String AHEAD = "clock_ahead_s";
    private static final String SAID = " Times in this text are by a clock that was ";

    /** The sentence on it, with the blank before it. */
    public static final Pattern SENTENCE = Pattern.compile(SAID + "[^.]+\\.");

    /** What an alert's evidence says of it. */
    public static ClockError of(Facts evidence) {
      return new ClockError(Math.round(evidence.number(AHEAD).orElse(0) * 1000));
    }

    /** The evidence of an alert without what is said of its clock. */
    public static Facts without(Facts evidence) {
      return new Facts(evidence.list().stream().filter(f -> !f.name().equals(AHEAD)).toList());
    }

    /** The same after the times of the alert were moved back by some ms. */
    public ClockError plus(long ms) {
      return new ClockError(aheadMs + ms);
    }

    /** The evidence with this error in place of another. */
    public Facts in(Facts evidence) {
      Facts.Builder facts = Facts.of().putAll(without(evidence));
      return aheadMs == 0 ? facts.build() : facts.put(AHEAD, aheadMs / 1000.0, 3).build();
    }

    /** What is told, with a sentence on its times. */
    public String in(String text) {
      return aheadMs == 0
          ? text
          : text
              + SAID
              + Spoken.exactly(Math.abs(aheadMs))
              + (aheadMs > 0 ? " ahead." : " behind.");
    }
  }
}
