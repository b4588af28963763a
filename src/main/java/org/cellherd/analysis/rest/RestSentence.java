package org.cellherd.analysis.rest;

import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** Says the facts of a rest in words. */
final class RestSentence {
  /** No resting cell falls so fast along a straight line, mV a day. */
  private static final double FAST_MV = 50;

  private RestSentence() {}

  static String of(Facts f) {
    StringBuilder text = new StringBuilder();
    text.append(say("At rest for %.0f h", number(f, "hours")));
    text.append(
        f.number("median_mv").isPresent()
            ? say(", the median cell at %.3f V.", number(f, "median_mv") / 1000)
            : ".");
    List<?> suspects = (List<?>) f.get("suspects").orElse(List.of());
    for (Object suspect : suspects) {
      suspect(text, f, (Integer) suspect);
    }
    if (suspects.isEmpty() && f.text("reason").isEmpty()) {
      text.append(" No cell falls behind the others beyond the noise.");
    }
    f.text("reason").ifPresent(reason -> text.append(say(" %s.", capital(reason))));
    return text.toString();
  }

  private static void suspect(StringBuilder text, Facts f, int cell) {
    Facts facts = (Facts) ((List<?>) f.get("cells").orElse(List.of())).get(cell - 1);
    double fall = -number(facts, "drift_mv_per_day");
    double half = 2 * number(facts, "se_mv_per_day");
    text.append(
        half > fall / 2 && fall > FAST_MV
            ? say(" Cell %d falls behind the others ever faster, by %.0f mV a day", cell, fall)
            : say(
                " Cell %d falls %.1f mV a day behind the others (± %s)",
                cell, fall, Spoken.high(half, 1)));
    text.append(
        facts.number("leak_ma_low").isPresent()
            ? say(
                ": it loses %s mA more than the median cell.",
                Spoken.between(number(facts, "leak_ma_low"), number(facts, "leak_ma_high"), 1))
            : ": it leaks; how much the plateau does not tell.");
  }

  private static String capital(String text) {
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  private static double number(Facts f, String name) {
    return f.number(name).orElse(0);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
