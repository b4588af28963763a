package org.cellherd.pile;

import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.pack.Chemistry;

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
    List<UnitCapacityTest> capacities) {

  public Unit {
    damage = Set.copyOf(damage);
    rests = rests.stream().sorted(Comparator.comparingLong(RestVoltage::atMs)).toList();
    resistances = List.copyOf(resistances);
    capacities = List.copyOf(capacities);
  }

  /** The newest capacity test that came to its end. */
  public Optional<UnitCapacityTest> capacity() {
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
}
