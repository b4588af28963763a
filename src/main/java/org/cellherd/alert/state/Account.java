package org.cellherd.alert.state;

import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
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
  private Optional<String> oldText = Optional.empty();

  /** A new occurrence. */
  void begin() {
    worstLevel = 0;
    worstBy = 0;
    oldText = Optional.empty();
  }

  /** Takes what the rule says; its limit and words count only while the condition holds. */
  void take(Judgement now) {
    value = now.value();
    if (now.level() == 0) {
      return;
    }
    limit = now.limit();
    words = now.words().get();
    oldText = Optional.empty();
    double by = Math.abs(value - limit);
    if (now.level() > worstLevel || (now.level() == worstLevel && !(by < worstBy))) {
      worst = words;
      worstLevel = now.level();
      worstBy = by;
    }
  }

  /** It was over and begins again: the worst of before does not count. */
  void again() {
    worst = words;
    worstBy = Math.abs(value - limit);
  }

  /** Goes on with the words of an earlier run until the rule has its own. */
  void adopt(Alert alert) {
    value = alert.value();
    limit = alert.limit();
    words = Words.of("", alert.firstStep(), alert.evidence());
    worst = words;
    worstLevel = 0;
    worstBy = 0;
    oldText = Optional.of(alert.text());
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

  Facts evidence() {
    return words.evidence();
  }

  String standing(long sinceMs, Pulse now) {
    return oldText.orElseGet(() -> AlertText.standing(words, sinceMs, now));
  }

  String over(long sinceMs, long untilMs, String unit, Pulse now) {
    String over = AlertText.over(untilMs, Spoken.value(value, unit), now);
    return over
        + (oldText.isPresent()
            ? " It had been: " + oldText.get()
            : AlertText.was(worst, sinceMs, now));
  }

  void save(StateWriter out) {
    out.putDouble(value).putDouble(limit).putDouble(worstBy).putLong(worstLevel);
    out.putBoolean(oldText.isPresent()).putText(oldText.orElse(""));
    save(words, out);
    save(worst, out);
  }

  private static void save(Words words, StateWriter out) {
    out.putText(words.what()).putText(words.more()).putText(words.firstStep());
    FactsState.save(words.evidence(), out);
  }

  void restore(StateReader in) {
    value = in.getDouble();
    limit = in.getDouble();
    worstBy = in.getDouble();
    worstLevel = in.getInt();
    boolean isOld = in.getBoolean();
    String text = in.getText();
    oldText = isOld ? Optional.of(text) : Optional.empty();
    words = words(in);
    worst = words(in);
  }

  private static Words words(StateReader in) {
    return new Words(in.getText(), in.getText(), in.getText(), FactsState.restore(in));
  }
}
