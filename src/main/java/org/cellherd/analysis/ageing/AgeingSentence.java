package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.AgeingResult.Life;
import org.cellherd.analysis.result.LeakWords;
import org.cellherd.pack.Spoken;

/** Says the result of ageing in words. */
final class AgeingSentence {
  private AgeingSentence() {}

  /**
   * All of it.
   *
   * @param isAtRoom true where the capacity is the one at 25 degC
   */
  static String of(AgeingResult f, int priorCycles, boolean isAtRoom) {
    StringBuilder text = new StringBuilder();
    text.append(cycles(f.equivalentFullCycles()));
    text.append(priorCycles > 0 ? say(" (%d of them before this log).", priorCycles) : ".");
    if (f.capacityNowAh().isPresent() && f.ratedPct().isPresent()) {
      text.append(
          say(
              " Capacity%s %s Ah, %s %% of the rated.",
              isAtRoom ? " at room temperature" : "",
              between(f.capacityNowAh().get(), 1),
              between(f.ratedPct().get(), 0)));
    } else {
      text.append(
          " No test shows the capacity of the cells yet: a discharge of the balanced pack from full"
              + " to empty would help most.");
    }
    f.capacityTrendPctPerYear()
        .ifPresent(
            trend ->
                text.append(
                    say(
                        " It changes by %.1f %% of the rated a year (%s).",
                        trend.mid(), Spoken.between(trend.low(), trend.high(), 1))));
    life(text, f);
    f.leaking().forEach(leak -> text.append(' ').append(LeakWords.of(leak)));
    return text.toString();
  }

  private static String between(Interval of, int decimals) {
    return Spoken.between(of.low(), of.high(), decimals);
  }

  private static String cycles(double cycles) {
    if (cycles < 0.95) {
      return "Less than one equivalent full cycle so far";
    }
    return cycles < 9.95
        ? say("%.1f equivalent full cycles so far", cycles)
        : say("%.0f equivalent full cycles so far", cycles);
  }

  private static void life(StringBuilder text, AgeingResult f) {
    List<String> all = new ArrayList<>();
    for (Life life : f.life()) {
      life.years().ifPresent(years -> all.add(life(life.toPct(), years)));
    }
    if (!all.isEmpty()) {
      boolean isTested = f.ratedPct().isPresent();
      text.append(isTested ? " Life left " : " If it still holds its rated capacity, life left ")
          .append(String.join("; ", all))
          .append('.');
    }
    f.reason().ifPresent(reason -> text.append(say(" Life left: %s.", reason)));
  }

  private static String life(int toPct, Interval years) {
    if (Double.isInfinite(years.high())) {
      return say("to %d %%: more than %s years", toPct, Spoken.low(years.low(), 0));
    }
    if (years.high() == 0) {
      return say("to %d %%: none, it is reached", toPct);
    }
    return say("to %d %%: %s years", toPct, between(years, 0));
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
