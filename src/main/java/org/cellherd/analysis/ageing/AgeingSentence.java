package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** Says the facts of ageing in words. */
final class AgeingSentence {
  private AgeingSentence() {}

  static String of(Facts f, int priorCycles) {
    StringBuilder text = new StringBuilder();
    text.append(cycles(number(f, "equivalent_full_cycles")));
    text.append(priorCycles > 0 ? say(" (%d of them before this log).", priorCycles) : ".");
    if (f.number("rated_pct").isPresent()) {
      text.append(
          say(
              " Capacity %.1f Ah, %.0f %% of the rated.",
              number(f, "capacity_now_ah"), number(f, "rated_pct")));
    } else {
      text.append(" No capacity test yet: a discharge from full to empty would tell most.");
    }
    if (f.number("capacity_trend_pct_per_year").isPresent()) {
      text.append(
          say(
              " It changes by %.1f %% of the rated a year (%s).",
              number(f, "capacity_trend_pct_per_year"),
              Spoken.between(
                  number(f, "capacity_trend_pct_per_year_low"),
                  number(f, "capacity_trend_pct_per_year_high"),
                  1)));
    }
    life(text, f);
    leaks(text, f);
    return text.toString();
  }

  private static String cycles(double cycles) {
    if (cycles < 0.95) {
      return "Less than one equivalent full cycle so far";
    }
    return cycles < 9.95
        ? say("%.1f equivalent full cycles so far", cycles)
        : say("%.0f equivalent full cycles so far", cycles);
  }

  private static void life(StringBuilder text, Facts f) {
    List<String> all = new ArrayList<>();
    for (Object row : (List<?>) f.get("life").orElse(List.of())) {
      Facts life = (Facts) row;
      if (life.number("low_years").isPresent()) {
        all.add(life(life));
      }
    }
    if (!all.isEmpty()) {
      boolean isTested = f.number("rated_pct").isPresent();
      text.append(isTested ? " Life left " : " If it still holds its rated capacity, life left ")
          .append(String.join("; ", all))
          .append('.');
    }
    f.text("reason").ifPresent(reason -> text.append(say(" Life left: %s.", reason)));
  }

  private static String life(Facts life) {
    double to = number(life, "to_pct");
    double low = number(life, "low_years");
    if (life.number("high_years").isEmpty()) {
      return say("to %.0f %%: more than %s years", to, Spoken.low(low, 0));
    }
    if (number(life, "high_years") == 0) {
      return say("to %.0f %%: none, it is reached", to);
    }
    return say(
        "to %.0f %%: about %.0f years (%s)",
        to, number(life, "mid_years"), Spoken.between(low, number(life, "high_years"), 0));
  }

  private static void leaks(StringBuilder text, Facts f) {
    for (Object row : (List<?>) f.get("leaking").orElse(List.of())) {
      Facts leak = (Facts) row;
      String most = Spoken.high(number(leak, "days_to_5_pct_high"), 0);
      boolean isOpen = leak.number("leak_ma_high").isEmpty();
      text.append(
          say(
              " Cell %.0f falls behind from one full charge to the next: it loses %s mA more than"
                  + " the median cell, 5 %% of the rating in %s days.",
              number(leak, "cell"),
              isOpen
                  ? "at least " + Spoken.low(number(leak, "leak_ma_low"), 1)
                  : Spoken.between(number(leak, "leak_ma_low"), number(leak, "leak_ma_high"), 1),
              isOpen
                  ? "at most " + most
                  : Spoken.low(number(leak, "days_to_5_pct_low"), 0) + " to " + most));
      text.append(isOpen ? " It no longer comes to the top, so it may be more." : "");
    }
  }

  private static double number(Facts f, String name) {
    return f.number(name).orElse(0);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
