package org.cellherd.analysis.capacity;

import java.util.Locale;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** Says the facts of a capacity test in words. */
final class CapacitySentence {
  private static final double COLD_C = 15;

  /** Smaller packs are told of with another digit. */
  private static final double SMALL_AH = 10;

  private static final double TELLING_SHARE = Limit.TELLING_SHARE;

  private CapacitySentence() {}

  static String of(Facts f, double ratedAh) {
    if (f.number("ah").isEmpty()) {
      return say(
          "A discharge of %.1f Ah is no capacity test: %s.",
          number(f, "drawn_ah"), f.text("reason").orElse("conditions not met"));
    }
    StringBuilder text = new StringBuilder();
    text.append(
        say(
            "%s (%s) %s at %.1f A (%.2fC%s): %.0f %% of the rated %s Ah.",
            ah(number(f, "ah"), ratedAh) + " Ah",
            Spoken.between(number(f, "ah_low"), number(f, "ah_high"), decimals(ratedAh)),
            extent(f),
            number(f, "mean_current_a"),
            number(f, "c_rate"),
            temperature(f),
            number(f, "rated_pct"),
            ratedAh == Math.rint(ratedAh) ? say("%.0f", ratedAh) : say("%.1f", ratedAh)));
    errors(text, f, ratedAh);
    limit(text, f, ratedAh);
    start(text, f);
    f.get("usable")
        .map(Facts.class::cast)
        .ifPresent(u -> usable(text, u, isUneven(f, ratedAh), ratedAh));
    compare(text, f);
    return text.toString();
  }

  /** What the board's own current leaves open, where it matters. */
  private static void errors(StringBuilder text, Facts f, double ratedAh) {
    double low = number(f, "offset_ah_low");
    double high = number(f, "offset_ah_high");
    text.append(
        say(" The bounds hold %.0f %% for the gain of the board's current", number(f, "gain_pct")));
    if (high - low >= TELLING_SHARE * number(f, "ah")) {
      double rest = number(f, "rest_current_a");
      text.append(
          say(
              " and up to %s Ah for its offset",
              Spoken.high(Math.max(high, -low), decimals(ratedAh))));
      text.append(rest == 0 || Double.isNaN(rest) ? "" : say(": it prints %.2f A at rest", rest));
    }
    text.append('.');
    double lost = number(f, "wh_of_cells") - number(f, "wh");
    if (lost >= TELLING_SHARE * number(f, "wh")) {
      text.append(
          say(
              " %.0f Wh at the terminals, %.0f less than the cells gave: links and switches took it.",
              number(f, "wh"), lost));
    }
  }

  private static String ah(double value, double ratedAh) {
    return Spoken.number(value, decimals(ratedAh));
  }

  private static int decimals(double ratedAh) {
    return ratedAh < SMALL_AH ? 2 : 1;
  }

  private static String extent(Facts f) {
    boolean isPartial = f.get("partial").filter(Boolean.TRUE::equals).isPresent();
    return isPartial
        ? "estimated from a discharge that left some charge,"
        : say("from full to %.2f V", number(f, "end_mv") / 1000);
  }

  private static String temperature(Facts f) {
    return f.number("mean_temp_c").isPresent() ? say(", %.0f °C", number(f, "mean_temp_c")) : "";
  }

  /** True when it is known in Ah that other cells are full first than are empty first. */
  private static boolean isUneven(Facts f, double ratedAh) {
    Facts usable = (Facts) f.get("usable").orElse(Facts.NONE);
    Facts costs = (Facts) usable.get("imbalance_costs").orElse(Facts.NONE);
    return number(costs, "low_ah") >= TELLING_SHARE * ratedAh;
  }

  private static void limit(StringBuilder text, Facts f, double ratedAh) {
    if (number(f, "end_spread_mv") > 0) {
      text.append(
          say(
              " Cell %.0f ended it, %.0f mV below the median.",
              number(f, "limiting_cell"), number(f, "end_lag_mv")));
    }
    if (!isUneven(f, ratedAh)) {
      f.text("weak_cause").ifPresent(cause -> text.append(weak(cause, number(f, "weak_cell"))));
    }
  }

  private static String weak(String cause, double cell) {
    return switch (cause) {
      case "low_capacity" ->
          say(" Cell %.0f has less capacity than the others: balancing will not help.", cell);
      case "low_charge" ->
          say(" Cell %.0f was less full than the others: balancing will help.", cell);
      default ->
          say(
              " Cell %.0f ends each discharge: low charge, which balancing mends, or low capacity.",
              cell);
    };
  }

  private static void usable(StringBuilder text, Facts f, boolean isUneven, double ratedAh) {
    Facts costs = (Facts) f.get("imbalance_costs").orElse(Facts.NONE);
    Facts smallest = (Facts) f.get("smallest_costs").orElse(Facts.NONE);
    if (isUneven) {
      text.append(
          say(
              " Cell %.0f is full first and cell %.0f empty first: balancing would bring %s%s.",
              number(f, "first_full_cell"),
              number(f, "first_empty_cell"),
              more(costs),
              balanced(f, ratedAh)));
    } else if (number(costs, "high_ah") <= TELLING_SHARE * ratedAh) {
      text.append(
          " Balancing would bring at most "
              + Spoken.high(Math.max(0.1, number(costs, "high_ah")), 1)
              + " Ah.");
    }
    if (number(smallest, "low_ah") >= TELLING_SHARE * ratedAh) {
      text.append(
          say(
              " Were cell %.0f like the middle one of the others, the pack would give %s.",
              number(f, "smallest_cell"), more(smallest)));
    }
  }

  /** Only where both ends are told. */
  private static String balanced(Facts usable, double ratedAh) {
    Facts all = (Facts) usable.get("balanced").orElse(Facts.NONE);
    double low = number(all, "low_ah");
    double high = number(all, "high_ah");
    return high - low > 0.2 * low
        ? ""
        : ", " + Spoken.between(low, high, decimals(ratedAh)) + " Ah in all";
  }

  /** The middle of a bound that only a whole cell limits says nothing. */
  private static String more(Facts ah) {
    double low = number(ah, "low_ah");
    double mid = number(ah, "mid_ah");
    double high = number(ah, "high_ah");
    return high > 3 * mid
        ? "at least " + Spoken.low(low, 1) + " Ah more"
        : say("%.1f Ah more (%s)", mid, Spoken.between(low, high, 1));
  }

  private static void start(StringBuilder text, Facts f) {
    switch (f.text("start_kind").orElse("")) {
      case "first_cell" ->
          text.append(
              " The charge before it ended when the first cell was full: more balance, more capacity.");
      case "absorb_timer" ->
          text.append(
              " The charger stopped before the current had fallen: the pack was not quite full.");
      case "unknown" -> text.append(" The log does not show how full the pack was at the start.");
      default -> {}
    }
  }

  private static void compare(StringBuilder text, Facts f) {
    if (number(f, "mean_temp_c") < COLD_C && f.number("ah_at_25c").isPresent()) {
      text.append(say(" At 25 °C it would be about %.1f Ah.", number(f, "ah_at_25c")));
    }
    f.get("since_first")
        .map(Facts.class::cast)
        .ifPresent(
            first ->
                text.append(
                    say(
                        " That is %.1f %% of the first comparable test (%.1f Ah).",
                        number(first, "ratio_pct"), number(first, "ah"))));
    f.get("other_rate")
        .map(Facts.class::cast)
        .ifPresent(
            other ->
                text.append(
                    say(
                        " At %.2fC it was %.1f Ah (Peukert exponent %.3f, %s, good between these two"
                            + " rates only).",
                        number(other, "c_rate"),
                        number(other, "ah"),
                        number(other, "peukert_k"),
                        Spoken.between(
                            number(other, "peukert_k_low"), number(other, "peukert_k_high"), 3))));
  }

  private static double number(Facts f, String name) {
    return f.number(name).orElse(Double.NaN);
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
