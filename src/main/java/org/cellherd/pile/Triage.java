package org.cellherd.pile;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Worded;

/**
 * What triage says of a pile.
 *
 * @param units in the order of the file
 */
public record Triage(List<Assessment> units) {
  public Triage {
    units = List.copyOf(units);
  }

  public static Triage of(List<Unit> pile, Settings settings) {
    // A unit that is out for damage or voltage must not set the standard of the others.
    List<Unit> sound = pile.stream().filter(Triage::isPeer).toList();
    return new Triage(pile.stream().map(u -> new UnitJudge(u, sound, settings).judge()).toList());
  }

  private static boolean isPeer(Unit unit) {
    return unit.damage().isEmpty();
  }

  public List<Assessment> of(Verdict verdict) {
    return units.stream().filter(a -> a.verdict() == verdict).toList();
  }

  /** The measurement that most units wait for, with their ids; empty when none waits. */
  public Optional<Map.Entry<String, List<String>>> next() {
    Map<String, List<String>> waiting = new LinkedHashMap<>();
    for (Assessment one : units) {
      one.next()
          .ifPresent(n -> waiting.computeIfAbsent(n, k -> new ArrayList<>()).add(one.unit().id()));
    }
    return waiting.entrySet().stream()
        .max((a, b) -> Integer.compare(a.getValue().size(), b.getValue().size()));
  }

  /** What to do with a unit, mildest first. None of them says that a unit does no harm. */
  public enum Verdict implements Worded {
    /** Nothing measured speaks against it. */
    USE,
    /** Something is missing or stands out; a measurement decides. */
    MEASURE_AGAIN,
    /** Keep it out of every pack. */
    DO_NOT_USE;

    /** The word with blanks. */
    public String words() {
      return word().replace('-', ' ');
    }

    /** The graver of two. */
    Verdict and(Verdict other) {
      return compareTo(other) >= 0 ? this : other;
    }
  }

  /**
   * What triage says of one unit.
   *
   * @param unit which
   * @param reasons what was judged, gravest first
   * @param missing what was never measured, such as {@code capacity}
   * @param next the measurement that would settle most, if any
   * @param selfDischargePctPerMonth share of capacity lost in a month beyond its peers, percent; an
   *     upper bound that cannot be known is infinite; empty without two voltages and peers
   */
  public record Assessment(
      Unit unit,
      List<Reason> reasons,
      List<String> missing,
      Optional<String> next,
      Optional<Interval> selfDischargePctPerMonth) {

    public Assessment {
      reasons = reasons.stream().sorted((a, b) -> b.verdict().compareTo(a.verdict())).toList();
      missing = List.copyOf(missing);
    }

    /** The gravest of all reasons. */
    public Triage.Verdict verdict() {
      return reasons.stream().map(Reason::verdict).reduce(Triage.Verdict.USE, Triage.Verdict::and);
    }
  }

  /**
   * One thing that speaks for or against a unit.
   *
   * @param about what was judged, a word such as {@code capacity}
   * @param verdict what it demands
   * @param sentence for people, with the numbers
   */
  public record Reason(String about, Triage.Verdict verdict, String sentence) {}

  /**
   * What the builder says of meter and wishes. A meter of 1 mV, a tester of 1 % and six tenths of
   * the rating are common practice, no source.
   *
   * @param meterMv standard deviation of one voltage against the next by the same meter, mV
   * @param capacityPct standard deviation of a measured capacity, percent
   * @param leastPct units below this share of their rated capacity are not used, percent
   * @param today for the age
   */
  public record Settings(double meterMv, double capacityPct, double leastPct, LocalDate today) {}
}
