package org.cellherd.alert.state;

import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.ClockError;
import org.cellherd.alert.Peak;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** What there is to tell of one alert: its numbers, its words now, and its words at the worst. */
final class Account {
  private double value = Double.NaN;
  private double limit = Double.NaN;
  private Words words = Words.NONE;
  private Words worst = Words.NONE;
  private int worstLevel;
  private double worstBy;
  private long worstMs;
  private long lastedMs;
  private int level;
  private long easedMs;
  private Optional<String> oldText = Optional.empty();

  /**
   * A new occurrence.
   *
   * @param heldMs for so long it has held already, ms
   */
  void begin(long heldMs) {
    worstLevel = 0;
    worstBy = 0;
    lastedMs = heldMs;
    easedMs = 0;
    oldText = Optional.empty();
  }

  /**
   * Takes what the rule says; its limit and words count only while the condition holds. What held
   * before and does not now is told as past: no sentence outlives its premise.
   *
   * @param creditMs time since the judgement before, where nothing lies between, ms
   */
  void take(Judgement now, long creditMs, long timeMs) {
    value = now.value();
    lastedMs += level > 0 ? creditMs : 0;
    easedMs = now.level() < level ? timeMs : easedMs;
    if (now.level() == 0) {
      level = 0;
      return;
    }
    level = now.level();
    limit = now.limit();
    words = now.words().get();
    oldText = Optional.empty();
    double by = Math.abs(value - limit);
    if (now.level() > worstLevel || (now.level() == worstLevel && !(by < worstBy))) {
      worst = words;
      worstLevel = now.level();
      worstBy = by;
      worstMs = timeMs;
    }
  }

  /**
   * It was over and began again some time ago: the worst of before does not count.
   *
   * @param heldMs since when, ms
   */
  void again(long timeMs, long heldMs) {
    worstMs = timeMs;
    lastedMs = heldMs;
    worst = words;
    worstLevel = level;
    worstBy = Math.abs(value - limit);
  }

  /** Goes on with the words of an earlier run until the rule has its own. */
  void adopt(Alert alert) {
    value = alert.value();
    limit = alert.limit();
    words = Words.of("", alert.firstStep(), ClockError.without(Peak.without(alert.evidence())));
    level = 1;
    worst = words;
    worstLevel = 0;
    worstBy = 0;
    oldText = Optional.of(AlertText.bare(alert.text()));
  }

  /** True when its latest words are these. */
  boolean says(String what) {
    return oldText.map(old -> AlertText.isOf(old, what)).orElse(words.what().equals(what));
  }

  double value() {
    return value;
  }

  double limit() {
    return limit;
  }

  String firstStep() {
    return words.firstStep();
  }

  /** The evidence while it is active: what it was at its worst where that is not now. */
  Facts evidence() {
    boolean wasWorse = !worst.what().isEmpty() && !worst.what().equals(words.what());
    return wasWorse && !Double.isNaN(worstBy)
        ? Peak.soFar(words.evidence(), worst.what(), worstMs)
        : words.evidence();
  }

  /**
   * The evidence of when it was at its worst; nothing is known of that of an earlier run.
   *
   * @param untilMs when it was over, ms UTC
   */
  Facts pastEvidence(long untilMs) {
    return worst.what().isEmpty() ? worst.evidence() : peak(untilMs).in(worst.evidence());
  }

  /** The condition as it was last judged. */
  String standing(long sinceMs, String unit, Pulse now) {
    if (level == 0) {
      return AlertText.eased(easedMs, Spoken.value(value, unit), now) + before(sinceMs, now);
    }
    String text = AlertText.holds(words, sinceMs, now);
    return level < worstLevel ? text + AlertText.worst(worst, easedMs, now) : text;
  }

  /**
   * The condition while it cannot be judged.
   *
   * @param judgedMs when it was last judged, ms UTC
   */
  String unconfirmed(long sinceMs, long judgedMs, String unit, Pulse now) {
    String judged = AlertText.time(judgedMs, now.timeMs(), now.zone());
    String text =
        level == 0
            ? standing(sinceMs, unit, now)
            : oldText
                .map(old -> AlertText.asOf(judged, old))
                .orElseGet(() -> AlertText.held(words, sinceMs, now));
    return text + AlertText.unconfirmed(judged);
  }

  private String before(long sinceMs, Pulse now) {
    if (oldText.isPresent()) {
      return AlertText.was(oldText.get());
    }
    // What has no value is as bad at any time.
    return Double.isNaN(worstBy)
        ? AlertText.was(worst, lastedMs, sinceMs, now)
        : AlertText.was(peak(now.timeMs()), sinceMs, now);
  }

  private Peak peak(long untilMs) {
    return new Peak(worst.what(), worstMs, lastedMs, goneMs(untilMs));
  }

  private long goneMs(long untilMs) {
    return level == 0 && easedMs > 0 ? easedMs : untilMs;
  }

  /**
   * The condition when it is over; it ended when it was last seen to end, which may be long before
   * it is told.
   */
  String over(long sinceMs, long untilMs, String unit, Pulse now) {
    return AlertText.over(goneMs(untilMs), Spoken.value(value, unit), now) + before(sinceMs, now);
  }

  /** The wall clock was set. */
  void shift(long deltaMs) {
    easedMs += easedMs > 0 ? deltaMs : 0;
    worstMs += deltaMs;
  }

  void state(State io) {
    value = io.number(value);
    limit = io.number(limit);
    worstBy = io.number(worstBy);
    worstLevel = io.number(worstLevel);
    level = io.number(level);
    easedMs = io.number(easedMs);
    worstMs = io.number(worstMs);
    lastedMs = io.number(lastedMs);
    oldText = io.optional(oldText, "", (now, part) -> part.text(now));
    words = words.state(io);
    worst = worst.state(io);
  }
}
