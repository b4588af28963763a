package org.cellherd.analysis.discharge;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.Interval;

/** A comparison in words. */
public final class ComparisonWords {

  private static final double SMALL_AH = 10;

  private ComparisonWords() {}

  /** What a test came to, such as {@code 21.7 Ah (21.4 to 22.2), 285 Wh, 13.12 V on average}. */
  public static String test(TestedDischarge test, Optional<RateDrop> drop) {
    String ah = test.ah().mid() < SMALL_AH ? "%.2f" : "%.1f";
    StringBuilder text = new StringBuilder(between(ah, test.ah(), "Ah"));
    text.append(say(", %.1f Wh, %.2f V on average", test.wh(), test.meanVolts()));
    if (!Double.isNaN(test.ratedAh())) {
      text.append(say(", %.0f %% of rated", 100 * test.ah().mid() / test.ratedAh()));
    }
    drop.flatMap(d -> d.heatWh(test))
        .ifPresent(
            wh ->
                text.append(", lost as heat: ")
                    .append(between(wh.mid() < 1 ? "%.2f" : "%.1f", wh, "Wh")));
    return text.toString();
  }

  public static List<String> pack(PackComparison.Pack pack) {
    List<String> lines = new ArrayList<>();
    pack.drop()
        .ifPresentOrElse(
            drop -> lines.add(drop(drop)),
            () -> lines.add("Resistance: not known; it takes a second test at another current."));
    pack.life()
        .ifPresent(
            life ->
                lines.add(
                    say("Life left to %d %% of rated: ", life.toPct())
                        + between("%.1f", life.years(), "years")
                        + ", "
                        + between("%.0f", life.kwh(), "kWh")
                        + " at the present use."));
    pack.pricePerWh()
        .ifPresent(p -> lines.add("Cost of a usable Wh: " + between("%.3f", p, "") + "."));
    pack.pricePerLifeKwh()
        .ifPresent(
            p -> lines.add("Cost of a kWh of the life left: " + between("%.3f", p, "") + "."));
    if (pack.price().isPresent() && pack.life().isEmpty()) {
      lines.add("Cost of a kWh of the life left: not known; it takes a log of the pack in use.");
    }
    return lines;
  }

  private static String drop(RateDrop drop) {
    return drop.ohm()
        .map(
            ohm ->
                "Resistance by the drop between the two rates: "
                    + between("%.1f", ohm.times(1000), "m\u03a9")
                    + ".")
        .orElse("Resistance by the drop between the rates: not known, " + drop.reason() + ".");
  }

  public static List<String> together(PackComparison all) {
    List<String> lines = new ArrayList<>();
    all.donorsWh()
        .ifPresent(
            wh -> lines.add("Donors before rebuilding: " + between("%.0f", wh, "Wh") + " in all."));
    all.keptPct()
        .ifPresent(
            pct -> lines.add("The rebuilt packs give of that: " + between("%.0f", pct, "%") + "."));
    all.fresh().perWh().ifPresent(p -> lines.add(say("A new pack costs %.3f for a usable Wh.", p)));
    all.fresh()
        .perLifeKwh()
        .ifPresent(p -> lines.add(say("A new pack costs %.3f for a kWh of its life.", p)));
    return lines;
  }

  private static String between(String format, Interval of, String unit) {
    String mid = say(format, of.mid());
    String low = say(format, of.low());
    String high = say(format, of.high());
    String number = unit.isEmpty() ? mid : mid + " " + unit;
    return low.equals(high) ? number : number + " (" + low + " to " + high + ")";
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
