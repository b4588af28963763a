package org.cellherd.analysis.capacity;

import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.CapacityResult.Compared;
import org.cellherd.analysis.result.CapacityResult.Conditions;
import org.cellherd.analysis.result.CapacityResult.Sensor;
import org.cellherd.analysis.result.CapacityResult.Usable;
import org.cellherd.analysis.result.CapacityResult.WeakCause;
import org.cellherd.pack.Spoken;

/** Says the result of a capacity test in words. */
final class CapacitySentence {
  private static final double COLD_C = 15;

  /** Smaller packs are told of with another digit. */
  private static final double SMALL_AH = 10;

  private final CapacityResult found;
  private final double ratedAh;
  private final double tellingAh;
  private final int decimals;
  private final StringBuilder text = new StringBuilder();

  private CapacitySentence(CapacityResult found, double ratedAh) {
    this.found = found;
    this.ratedAh = ratedAh;
    tellingAh = UsableCapacity.TELLING_SHARE * ratedAh;
    decimals = ratedAh < SMALL_AH ? 2 : 1;
  }

  static String of(CapacityResult found, double ratedAh) {
    return found
        .ah()
        .map(ah -> new CapacitySentence(found, ratedAh).accepted(ah))
        .orElseGet(
            () ->
                say(
                    "A discharge of %.1f Ah is no capacity test: %s.",
                    found.drawnAh(), found.reason().orElse("conditions not met")));
  }

  private String accepted(Interval ah) {
    Conditions how = found.conditions();
    text.append(
        say(
            "%s Ah (%s) %s at %.1f A (%.2fC%s): %.0f %% of the rated %s Ah.",
            Spoken.number(ah.mid(), decimals),
            Spoken.between(ah.low(), ah.high(), decimals),
            how.partial()
                ? "estimated from a discharge that left some charge,"
                : say("from full to %.2f V", how.endMv() / 1000),
            found.meanCurrentA(),
            found.cRate(),
            Double.isNaN(how.meanTempC()) ? "" : ", " + Spoken.number(how.meanTempC(), 0) + " °C",
            100 * ah.mid() / ratedAh,
            ratedAh == Math.rint(ratedAh) ? say("%.0f", ratedAh) : say("%.1f", ratedAh)));
    errors(ah.mid());
    limit(how);
    start(how);
    found.usable().ifPresent(this::usable);
    compare(how);
    return text.toString();
  }

  /** What the board's own current leaves open, where it matters. */
  private void errors(double ah) {
    Sensor sensor = found.sensor();
    Interval offset = sensor.offsetAh();
    text.append(
        say(" The bounds allow %.0f %% for the gain of the board's current", sensor.gainPct()));
    if (offset.high() - offset.low() >= UsableCapacity.TELLING_SHARE * ah) {
      double rest = sensor.restCurrentA();
      text.append(
          say(
              " and up to %s Ah for its offset",
              Spoken.high(Math.max(offset.high(), -offset.low()), decimals)));
      text.append(Math.abs(rest) >= 0.0005 ? say(": it prints %.2f A at rest", rest) : "");
    }
    text.append('.');
    double wh = found.energy().wh().map(Interval::mid).orElse(Double.NaN);
    double lost = found.energy().whOfCells() - wh;
    if (lost >= UsableCapacity.TELLING_SHARE * wh) {
      text.append(
          say(
              " %.0f Wh at the terminals, %.0f less than the cells gave: links and switches took it.",
              wh, lost));
    }
  }

  /** True when it is known in Ah that other cells are full first than are empty first. */
  private boolean isUneven() {
    return found.usable().filter(u -> u.imbalanceCosts().ah().low() >= tellingAh).isPresent();
  }

  private void limit(Conditions how) {
    if (how.endSpreadMv() > 0) {
      text.append(
          say(
              " Cell %d ended it, %.0f mV below the median%s.",
              how.limitingCell(),
              how.endLagMv(),
              how.limitingWasBehind() ? "; it was not full when the charge before ended" : ""));
    }
    found.fallsBehindAhPerDay().ifPresent(this::fall);
    if (!isUneven()) {
      found.weakCause().ifPresent(cause -> text.append(weak(cause, found.weakCell().orElse(0))));
    }
  }

  private void fall(Interval ahPerDay) {
    text.append(
        say(
            " It falls behind by %s Ah a day from one test to the next: later the pack gives as"
                + " much less.",
            Spoken.between(ahPerDay.low(), ahPerDay.high(), 2)));
  }

  private String weak(WeakCause cause, int cell) {
    return switch (cause) {
      case LOW_CAPACITY ->
          say(
              " Cell %d has less capacity than the others: %s.",
              cell, atMost().orElse("balancing will not help"));
      case LOW_CHARGE ->
          say(
              " Cell %d was less full than the others: %s.",
              cell, atMost().orElse("balancing will help"));
      case LOW_CHARGE_OR_CAPACITY ->
          say(
              " Cell %d ends each discharge: low charge, which balancing mends, or low capacity.",
              cell);
    };
  }

  /** What balancing brings is said by the charges counted, where they are known. */
  private Optional<String> atMost() {
    return found
        .usable()
        .map(u -> u.imbalanceCosts().ah().high())
        .map(
            high -> "balancing would bring at most " + Spoken.high(Math.max(0.1, high), 1) + " Ah");
  }

  /** True where the sentence on the weak cell has said what balancing would bring. */
  private boolean isBringTold() {
    return found.weakCause().filter(c -> c != WeakCause.LOW_CHARGE_OR_CAPACITY).isPresent();
  }

  /** True where the cells' own capacity, or what was counted, leaves nothing for balancing. */
  private boolean isLittleToGain() {
    return found
        .usable()
        .map(u -> u.imbalanceCosts().ah().high() <= tellingAh)
        .orElseGet(() -> found.weakCause().filter(WeakCause.LOW_CAPACITY::equals).isPresent());
  }

  private void usable(Usable usable) {
    Interval costs = usable.imbalanceCosts().ah();
    if (isUneven()) {
      text.append(
          say(
              " Cell %d is full first and cell %d empty first: balancing would bring %s%s.",
              usable.firstFullCell(),
              usable.firstEmptyCell(),
              more(costs),
              inAll(usable.balanced().ah())));
    } else if (costs.high() <= tellingAh && !isBringTold()) {
      text.append(" B" + atMost().orElseThrow().substring(1) + ".");
    }
    if (usable.smallestCosts().ah().low() >= tellingAh) {
      text.append(
          say(
              " Were cell %d like the middle one of the others, the pack would give %s.",
              usable.smallestCell(), more(usable.smallestCosts().ah())));
    }
  }

  /** Only where both ends are told. */
  private String inAll(Interval all) {
    return all.high() - all.low() > 0.2 * all.low()
        ? ""
        : ", " + Spoken.between(all.low(), all.high(), decimals) + " Ah in all";
  }

  /** The middle of a bound that only a whole cell limits says nothing. */
  private static String more(Interval ah) {
    return ah.high() > 3 * ah.mid()
        ? "at least " + Spoken.low(ah.low(), 1) + " Ah more"
        : say("%.1f Ah more (%s)", ah.mid(), Spoken.between(ah.low(), ah.high(), 1));
  }

  private void start(Conditions how) {
    text.append(
        switch (how.startKind()) {
          case FIRST_CELL ->
              " The charge before it ended when the first cell was full"
                  + (isLittleToGain() ? "." : ": more balance, more capacity.");
          case ABSORB_TIMER ->
              " The charger stopped before the current had fallen: the pack was not quite full.";
          case UNKNOWN -> " The log does not show how full the pack was at the start.";
          case TAIL, NONE -> "";
        });
  }

  private void compare(Conditions how) {
    if (how.meanTempC() < COLD_C) {
      found
          .ahAt25c()
          .ifPresent(
              ah ->
                  text.append(
                      say(" At 25 °C it would be %s Ah.", Spoken.between(ah.low(), ah.high(), 1))));
    }
    found
        .sinceFirst()
        .filter(first -> first.ratioPct().isPresent())
        .ifPresent(
            first ->
                text.append(
                    say(
                        " That is %.1f %% of the first comparable test (%.1f Ah).",
                        first.ratioPct().getAsDouble(), first.ah())));
    found.otherRate().ifPresent(this::peukert);
  }

  private void peukert(Compared other) {
    other
        .peukertK()
        .ifPresent(
            k ->
                text.append(
                    say(
                        " At %.2fC it was %.1f Ah (Peukert exponent %.3f, %s, good between these two"
                            + " rates only).",
                        other.cRate(), other.ah(), k.mid(), Spoken.between(k.low(), k.high(), 3))));
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
