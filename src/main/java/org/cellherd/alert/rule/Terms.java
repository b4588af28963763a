package org.cellherd.alert.rule;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Timing;
import org.cellherd.alert.state.Timing.Level;
import org.cellherd.alert.state.Timing.Same;

/**
 * What of a rule does not change, made of its settings.
 *
 * @param id which rule
 * @param unit of value and limit; empty when there are none
 * @param timing its levels and delays
 * @param doubt what of its readings wiring can spoil
 * @param judgedEveryMs readings need not be judged more often than this, ms: what the rule looks at
 *     changes slowly or costs much to work out
 */
public record Terms(RuleId id, String unit, Timing timing, Doubt doubt, long judgedEveryMs) {

  /** Terms of a rule that judges every reading, of which wiring spoils nothing. */
  Terms(RuleId id, String unit, Timing timing) {
    this(id, unit, timing, Doubt.NONE, 0);
  }

  /** One level, judged on every reading. */
  static Terms live(RuleSettings set, String unit) {
    return terms(set, unit, List.of(top(set)), Timing.LIVE_SAMPLES);
  }

  /** A milder level below the limit, judged on every reading. */
  static Terms liveWithWarning(RuleSettings set, String unit) {
    String key = set.has("warn_delay_s") ? "warn_delay_s" : "on_delay_s";
    Level warning = new Level(milder(Priority.WARNING, set.priority()), set.ms(key));
    return terms(set, unit, List.of(warning, top(set)), Timing.LIVE_SAMPLES);
  }

  /** A note below the limit of what may be so, judged on every reading. */
  static Terms liveWithNote(RuleSettings set, String unit) {
    Level note = new Level(milder(Priority.NOTE, set.priority()), set.ms("on_delay_s"));
    return terms(set, unit, List.of(note, top(set)), Timing.LIVE_SAMPLES);
  }

  /** One level, true or not from the first moment on. */
  static Terms plain(RuleSettings set, String unit) {
    return terms(set, unit, List.of(top(set)), 1);
  }

  /** The same where one charge or discharge is one occurrence. */
  Terms ofACharge() {
    return of(timing.with(Same.CHARGE));
  }

  /** The same where other words name another cause, so another alert. */
  Terms ofItsWords() {
    return of(timing.with(Same.WORDS));
  }

  private Terms of(Timing other) {
    return new Terms(id, unit, other, doubt, judgedEveryMs);
  }

  /** The same where wiring can spoil what it reads. */
  Terms spoiltAs(Doubt other) {
    return new Terms(id, unit, timing, other, judgedEveryMs);
  }

  /** The same where readings need not be judged more often than this, ms. */
  Terms judgedEvery(long ms) {
    return new Terms(id, unit, timing, doubt, ms);
  }

  /** Several levels, true or not from the first moment on; the last has the rule's priority. */
  static Terms plain(RuleSettings set, String unit, Priority... milder) {
    List<Level> levels =
        Stream.concat(
                Arrays.stream(milder)
                    .map(p -> new Level(milder(p, set.priority()), set.ms("on_delay_s"))),
                Stream.of(top(set)))
            .toList();
    return terms(set, unit, levels, 1);
  }

  private static Terms terms(RuleSettings set, String unit, List<Level> levels, int samples) {
    Timing timing = new Timing(levels, set.ms("off_delay_s"), set.ms("repeat_h"), samples);
    return new Terms(set.rule(), unit, timing);
  }

  private static Level top(RuleSettings set) {
    return new Level(set.priority(), set.ms("on_delay_s"));
  }

  /** An owner who lowers a rule's priority does not mean its warnings to stand above it. */
  static Priority milder(Priority usual, Priority top) {
    return usual.compareTo(top) >= 0 ? usual : top;
  }
}
