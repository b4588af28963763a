package org.cellherd.pile;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.analysis.Interval;

/**
 * Units arranged in groups.
 *
 * @param groups in series, in the order of building
 * @param spares units left over, strongest first
 * @param weakestAh capacity of the weakest group by the measured values, Ah
 * @param boundAh what the weakest group could be at most, Ah
 * @param isBest true when no arrangement has a stronger weakest group
 * @param packAh capacity of the pack, with the errors of the measured capacities carried through:
 *     95 of 100; its weakest group is not always the one that seems so, so it lies lower
 */
public record Matching(
    List<Group> groups,
    List<Candidate> spares,
    double weakestAh,
    double boundAh,
    boolean isBest,
    Interval packAh) {

  /** From so many units on not all arrangements are tried. */
  private static final int FEW = 26;

  public Matching {
    groups = List.copyOf(groups);
    spares = List.copyOf(spares);
  }

  /** Strongest minus weakest group, Ah. */
  public double spreadAh() {
    return groups.stream().mapToDouble(Group::ah).max().orElse(0) - weakestAh;
  }

  /** Greatest over least conductance of the groups, in percent above 100; empty if unknown. */
  public OptionalDouble conductanceSpreadPct() {
    List<Double> all = new ArrayList<>();
    for (Group group : groups) {
      if (group.mohm().isEmpty()) {
        return OptionalDouble.empty();
      }
      all.add(1 / group.mohm().getAsDouble());
    }
    double most = all.stream().mapToDouble(d -> d).max().orElse(1);
    double least = all.stream().mapToDouble(d -> d).min().orElse(1);
    return OptionalDouble.of(100 * (most / least - 1));
  }

  /** Share of the bound that was reached, percent. */
  public double reachedPct() {
    return 100 * weakestAh / boundAh;
  }

  /**
   * Arranges units.
   *
   * @return empty when no arrangement meets the wishes
   * @throws IllegalArgumentException when there are fewer units than places
   */
  public static Optional<Matching> of(List<Candidate> units, Rules rules) {
    if (units.size() < rules.places()) {
      throw new IllegalArgumentException(units.size() + " units for " + rules.places() + " places");
    }
    return rules.isOneDonorPerGroup()
        ? DonorSplit.of(units, rules).map(parts -> joined(parts, units))
        : solve(units, rules).map(found -> result(found, units));
  }

  /**
   * What the search found.
   *
   * @param groups numbers of units
   * @param boundAh no arrangement is better than this
   * @param isBest true when none is better than the one found
   */
  record Found(List<List<Candidate>> groups, double boundAh, boolean isBest) {}

  static Optional<Found> solve(List<Candidate> units, Rules rules) {
    Wishes wishes = new Wishes(units, rules);
    double[] ah = units.stream().mapToDouble(Candidate::ah).toArray();
    double bound = Bound.weakest(ah, rules.series(), rules.parallel());
    boolean isFolded = rules.parallel() == 2 && rules.isFree();
    Optional<Grouping> first =
        isFolded
            ? Optional.of(FirstLayout.folded(units, rules.series(), wishes))
            : FirstLayout.of(units, rules.series(), rules.parallel(), wishes);
    return first.map(layout -> bettered(layout, units, bound));
  }

  private static Found bettered(Grouping first, List<Candidate> units, double bound) {
    Grouping best = new UnitExchange(bound).search(first);
    boolean isBest = best.weakest() >= bound * (1 - 1e-9);
    if (!isBest && units.size() <= FEW) {
      ExactSearch.Result exact = ExactSearch.of(best, units);
      best = exact.layout();
      isBest = exact.isProven();
    }
    double reached = best.weakest();
    Evening.of(best, units.stream().allMatch(u -> u.mohm().isPresent()));
    List<List<Candidate>> groups = new ArrayList<>();
    for (List<Integer> group : best.groupsByCapacity()) {
      groups.add(group.stream().map(units::get).toList());
    }
    return new Found(groups, isBest ? reached : bound, isBest);
  }

  private static Matching joined(List<Found> parts, List<Candidate> units) {
    List<List<Candidate>> groups = new ArrayList<>();
    parts.forEach(p -> groups.addAll(p.groups()));
    double bound = parts.stream().mapToDouble(Found::boundAh).min().orElse(0);
    return result(new Found(groups, bound, false), units);
  }

  private static Matching result(Found found, List<Candidate> units) {
    List<Group> groups = found.groups().stream().map(Group::new).toList();
    Set<Candidate> used = new HashSet<>();
    groups.forEach(g -> used.addAll(g.units()));
    List<Candidate> spares =
        units.stream()
            .filter(u -> !used.contains(u))
            .sorted(Comparator.comparingDouble(Candidate::ah).reversed())
            .toList();
    double weakest = groups.stream().mapToDouble(Group::ah).min().orElse(0);
    return new Matching(
        groups, spares, weakest, found.boundAh(), found.isBest(), PackCapacity.of(groups));
  }

  /**
   * What a builder asks of the arrangement.
   *
   * @param series groups in series
   * @param parallel units in each group
   * @param together ids that must share a group
   * @param apart ids of which no two may share a group
   * @param isOneDonorPerGroup true when a group must not mix donors
   */
  public record Rules(
      int series,
      int parallel,
      List<Set<String>> together,
      List<Set<String>> apart,
      boolean isOneDonorPerGroup) {

    public Rules {
      if (series < 1 || parallel < 1) {
        throw new IllegalArgumentException(series + "S" + parallel + "P");
      }
      together = together.stream().map(Set::copyOf).toList();
      apart = apart.stream().map(Set::copyOf).toList();
    }

    /** Nothing but the size. */
    public static Rules of(int series, int parallel) {
      return new Rules(series, parallel, List.of(), List.of(), false);
    }

    int places() {
      return series * parallel;
    }

    /** True without further wishes. */
    boolean isFree() {
      return together.isEmpty() && apart.isEmpty() && !isOneDonorPerGroup;
    }
  }

  /**
   * Units in parallel: one cell of the pack as its board sees it.
   *
   * @param units in the order of building
   */
  public record Group(List<Candidate> units) {
    public Group {
      units = List.copyOf(units);
    }

    /** Capacity of all units together, Ah. */
    public double ah() {
      return units.stream().mapToDouble(Candidate::ah).sum();
    }

    /** Resistance of all units in parallel, milliohm; empty where one was not measured. */
    public OptionalDouble mohm() {
      double conductance = 0;
      for (Candidate unit : units) {
        if (unit.mohm().isEmpty()) {
          return OptionalDouble.empty();
        }
        conductance += unit.conductance();
      }
      return OptionalDouble.of(1 / conductance);
    }
  }

  /**
   * A unit as the matching sees it.
   *
   * @param id what is written on it
   * @param donor the pack it comes from; empty when unknown
   * @param ah capacity, Ah, above 0
   * @param sdAh standard deviation of the measured capacity, Ah
   * @param mohm resistance, milliohm, if measured
   */
  public record Candidate(String id, String donor, double ah, double sdAh, OptionalDouble mohm) {

    /** Refuses what is no capacity. */
    public Candidate {
      if (!(ah > 0 && Double.isFinite(ah) && sdAh >= 0)) {
        throw new IllegalArgumentException(id + ": " + ah + " Ah, standard deviation " + sdAh);
      }
    }

    /** Conductance in siemens times 1000; 0 where the resistance is not known. */
    double conductance() {
      return mohm.isPresent() ? 1 / mohm.getAsDouble() : 0;
    }
  }
}
