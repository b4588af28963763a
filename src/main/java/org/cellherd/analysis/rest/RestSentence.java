package org.cellherd.analysis.rest;

import java.util.Locale;
import org.cellherd.analysis.result.RestResult;
import org.cellherd.pack.Spoken;

/** Says the facts of a rest in words. */
final class RestSentence {
  /** No resting cell falls so fast along a straight line, mV a day. */
  private static final double FAST_MV = 50;

  private RestSentence() {}

  static String of(RestResult f) {
    StringBuilder text = new StringBuilder();
    text.append(say("At rest for %.0f h", f.hours()));
    text.append(
        Double.isNaN(f.medianMv())
            ? "."
            : say(", the median cell at %.3f V.", f.medianMv() / 1000));
    for (int suspect : f.suspects()) {
      f.cell(suspect).ifPresent(cell -> suspect(text, cell));
    }
    if (f.suspects().isEmpty() && f.reason().isEmpty()) {
      text.append(" No cell falls behind the others beyond the noise.");
    }
    f.reason().ifPresent(reason -> text.append(say(" %s.", capital(reason))));
    return text.toString();
  }

  private static void suspect(StringBuilder text, RestResult.Cell drift) {
    int cell = drift.cell();
    double fall = -drift.driftMvPerDay();
    double half = 2 * drift.seMvPerDay();
    text.append(
        half > fall / 2 && fall > FAST_MV
            ? say(" Cell %d falls behind the others ever faster, by %.0f mV a day", cell, fall)
            : say(
                " Cell %d falls %.1f mV a day behind the others (± %s)",
                cell, fall, Spoken.high(half, 1)));
    text.append(
        drift
            .leakMa()
            .map(
                leak ->
                    say(
                        ": it loses %s mA more than the median cell.",
                        Double.isInfinite(leak.high())
                            ? "at least " + Spoken.low(leak.low(), 1)
                            : Spoken.between(leak.low(), leak.high(), 1)))
            .orElse(": it leaks; how much the plateau does not tell."));
  }

  private static String capital(String text) {
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
