package org.cellherd.pile;

import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Worded;

/**
 * What cannot be parted, and what is known of it. Whatever was not measured is empty.
 *
 * @param id what is written on it
 * @param donor the pack it comes from; empty when unknown
 * @param chemistry if known
 * @param ratedAh rated capacity of the whole unit, Ah, if known
 * @param series cells in series inside
 * @param parallel cells in parallel inside
 * @param made day of manufacture, if known
 * @param grams mass of the whole unit, if weighed
 * @param damage what the eye found
 * @param remarks the builder's words
 * @param rests voltages at rest, oldest first
 * @param resistances in the order of the file
 * @param capacities in the order of the file
 */
public record Unit(
    String id,
    String donor,
    Optional<Chemistry> chemistry,
    OptionalDouble ratedAh,
    int series,
    int parallel,
    Optional<LocalDate> made,
    OptionalDouble grams,
    Set<Damage> damage,
    String remarks,
    List<RestVoltage> rests,
    List<ResistanceTest> resistances,
    List<CapacityTest> capacities) {

  public Unit {
    damage = Set.copyOf(damage);
    rests = rests.stream().sorted(Comparator.comparingLong(RestVoltage::atMs)).toList();
    resistances = List.copyOf(resistances);
    capacities = List.copyOf(capacities);
  }

  /** The newest capacity test that came to its end. */
  public Optional<CapacityTest> capacity() {
    return capacities.stream().filter(t -> !t.isLeast()).reduce((before, last) -> last);
  }

  /** The newest voltage at rest of one cell in series, mV. */
  public OptionalDouble restMvPerCell() {
    return rests.isEmpty()
        ? OptionalDouble.empty()
        : OptionalDouble.of(rests.get(rests.size() - 1).mv() / series);
  }

  /** The newest resistance. */
  public Optional<ResistanceTest> resistance() {
    return resistances.stream().reduce((before, last) -> last);
  }

  /**
   * One measured capacity.
   *
   * @param ah discharged from full, Ah
   * @param amperes mean current, if known
   * @param celsius temperature of the unit, if known
   * @param cutOffMv where the discharge ended, mV of the whole unit, if known
   * @param isLeast true when the test ended before this unit was empty: it holds at least this much
   */
  public record CapacityTest(
      double ah,
      OptionalDouble amperes,
      OptionalDouble celsius,
      OptionalDouble cutOffMv,
      boolean isLeast) {}

  /**
   * A voltage without current.
   *
   * @param mv of the whole unit, mV
   * @param atMs when, ms UTC
   * @param withinMs how far the true instant may lie from {@code atMs} either way, ms: half a day
   *     where only the date is known
   */
  public record RestVoltage(double mv, long atMs, long withinMs) {}

  /**
   * One measured resistance. Only tests of the same method can be compared.
   *
   * @param mohm of the whole unit, milliohm
   * @param method how it was measured
   * @param seconds length of the pulse; 0 for alternating current
   * @param celsius temperature of the unit, if known
   */
  record ResistanceTest(double mohm, Method method, double seconds, OptionalDouble celsius) {

    /** How it was measured. */
    public enum Method implements Worded {
      /** Alternating current at 1 kHz. */
      AC,
      /** A step of direct current, read some seconds after it. */
      DC
    }

    /** True when the other was measured in the same way: pulses within a factor of two. */
    public boolean isLike(ResistanceTest other) {
      return method == other.method
          && (method == Method.AC
              || Math.max(seconds, other.seconds) <= 2 * Math.min(seconds, other.seconds));
    }

    /** The method in words: 1 kHz AC, DC 10 s. */
    public String how() {
      return method == Method.AC ? "1 kHz AC" : "DC at %s s".formatted(Amount.of(seconds));
    }
  }
}
