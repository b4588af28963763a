package org.cellherd.alert.state;

import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** What there is to tell of one alert: its numbers, its words now, and its words at the worst. */
final class Account {
  private double value = Double.NaN;
  private double limit = Double.NaN;
  private Words words = Words.NONE;
  private final Worst worst = new Worst();
  private final Worst sinceBack = new Worst();
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
    worst.clear();
    sinceBack.clear();
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
    worst.take(now, () -> words, timeMs);
  }

  /** What was gone and may be back: how bad it is counts from its first moment, once it is told. */
  void mayBeBack(Judgement now, long timeMs) {
    if (now.level() == 0) {
      sinceBack.clear();
    } else {
      sinceBack.take(now, now.words(), timeMs);
    }
  }

  /**
   * It was over and began again some time ago: the worst of before does not count.
   *
   * @param heldMs since when, ms
   */
  void again(long heldMs) {
    lastedMs = heldMs;
    worst.set(sinceBack);
    sinceBack.clear();
  }

  /** Goes on with the words of an earlier run until the rule has its own. */
  void adopt(Alert alert) {
    value = alert.value();
    limit = alert.limit();
    words =
        Words.of(
            "", alert.firstStep(), Alert.ClockError.without(Alert.Peak.without(alert.evidence())));
    level = 1;
    worst.set(words);
    sinceBack.clear();
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
    String then = worst.words().what();
    return !then.isEmpty() && !then.equals(words.what()) && worst.hasValue()
        ? Alert.Peak.soFar(words.evidence(), then, worst.timeMs())
        : words.evidence();
  }

  /**
   * The evidence of when it was at its worst; nothing is known of that of an earlier run.
   *
   * @param untilMs when it was over, ms UTC
   */
  Facts pastEvidence(long untilMs) {
    Words then = worst.words();
    return then.what().isEmpty() ? then.evidence() : peak(untilMs).in(then.evidence());
  }

  /** The condition as it was last judged. */
  String standing(long sinceMs, String unit, Pulse now) {
    if (level == 0) {
      return AlertText.eased(easedMs, Spoken.value(value, unit), now) + before(sinceMs, now);
    }
    String text = AlertText.holds(words, sinceMs, now);
    return level < worst.level() ? text + AlertText.worst(worst.words(), easedMs, now) : text;
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
    return worst.hasValue()
        ? AlertText.was(peak(now.timeMs()), sinceMs, now)
        : AlertText.was(worst.words(), lastedMs, sinceMs, now);
  }

  private Alert.Peak peak(long untilMs) {
    return new Alert.Peak(worst.words().what(), worst.timeMs(), lastedMs, goneMs(untilMs));
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
    worst.shift(deltaMs);
    sinceBack.shift(deltaMs);
  }

  void state(State io) {
    value = io.number(value);
    limit = io.number(limit);
    level = io.number(level);
    easedMs = io.number(easedMs);
    lastedMs = io.number(lastedMs);
    oldText = io.optional(oldText, "", (now, part) -> part.text(now));
    words = words.state(io);
    worst.state(io);
    sinceBack.state(io);
  }
}
