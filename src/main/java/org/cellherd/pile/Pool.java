package org.cellherd.pile;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.cellherd.pack.Spoken;
import org.cellherd.toml.Suggestion;

/**
 * The units that may be used, and everything that stands in the way of an arrangement.
 *
 * @param units usable units
 * @param problems each with what would make it possible; nothing can be arranged while there are
 *     any
 */
public record Pool(List<Unit> units, List<String> problems) {

  public Pool {
    units = List.copyOf(units);
    problems = List.copyOf(problems);
  }

  /**
   * What triage lets through.
   *
   * @param withDoubtful true to use also units that should be measured again but have a capacity
   */
  public static Pool of(
      List<Triage.Assessment> assessed, Matching.Rules rules, boolean withDoubtful) {
    List<Unit> usable =
        assessed.stream()
            .filter(
                a ->
                    a.verdict() == Triage.Verdict.USE
                        || (withDoubtful && a.verdict() == Triage.Verdict.MEASURE_AGAIN))
            .map(Triage.Assessment::unit)
            .filter(u -> u.capacity().isPresent())
            .toList();
    List<String> problems = new ArrayList<>();
    alike(usable, problems);
    enough(assessed, usable.size(), rules, problems);
    wishes(assessed, usable, rules, problems);
    return new Pool(usable, problems);
  }

  /** The units as the matching sees them. */
  public List<Matching.Candidate> candidates(double capacityPct) {
    return units.stream().map(u -> candidate(u, capacityPct)).toList();
  }

  private static Matching.Candidate candidate(Unit unit, double capacityPct) {
    double ah = unit.capacity().orElseThrow().ah();
    OptionalDouble mohm =
        unit.resistance().isPresent()
            ? OptionalDouble.of(unit.resistance().get().mohm())
            : OptionalDouble.empty();
    return new Matching.Candidate(unit.id(), unit.donor(), ah, ah * capacityPct / 100, mohm);
  }

  private static void alike(List<Unit> usable, List<String> problems) {
    Set<String> chemistries =
        usable.stream()
            .map(u -> u.chemistry().map(c -> c.word()).orElse("unknown"))
            .collect(Collectors.toCollection(TreeSet::new));
    if (chemistries.size() > 1) {
      problems.add(
          "the units are of different chemistries ("
              + String.join(", ", chemistries)
              + "); a pack has one: keep the others in a file of their own");
    }
    Set<Integer> series =
        usable.stream().map(Unit::series).collect(Collectors.toCollection(TreeSet::new));
    if (series.size() > 1 || series.stream().anyMatch(s -> s > 1)) {
      problems.add(
          "units with cells in series inside ("
              + series.stream().map(Objects::toString).collect(Collectors.joining(", "))
              + ") cannot be paralleled cell by cell; the board must reach every cell: open the"
              + " strings, or leave them out");
    }
  }

  private static void enough(
      List<Triage.Assessment> all, int usable, Matching.Rules rules, List<String> problems) {
    int lacks = rules.places() - usable;
    if (lacks <= 0) {
      return;
    }
    int parallel = usable / rules.series();
    int series = usable / rules.parallel();
    List<String> ways = new ArrayList<>();
    if (parallel > 0) {
      ways.add(parallel + " in parallel");
    }
    if (series > 0) {
      ways.add(series + " in series");
    }
    List<String> fits = new ArrayList<>();
    if (!ways.isEmpty()) {
      fits.add("it fits with " + String.join(" or ", ways));
    }
    long doubtful = measured(all, Triage.Verdict.MEASURE_AGAIN);
    if (doubtful > 0 && measured(all, Triage.Verdict.USE) == usable) {
      fits.add("--doubtful adds %d that should be measured again".formatted(doubtful));
    }
    problems.add(
        "%dS%dP takes %s, %d of %d can be used: %d short%s"
            .formatted(
                rules.series(),
                rules.parallel(),
                Spoken.counted(rules.places(), "unit"),
                usable,
                all.size(),
                lacks,
                fits.isEmpty() ? "" : "; " + String.join(", ", fits)));
  }

  private static long measured(List<Triage.Assessment> all, Triage.Verdict verdict) {
    return all.stream()
        .filter(a -> a.verdict() == verdict && a.unit().capacity().isPresent())
        .count();
  }

  private static void wishes(
      List<Triage.Assessment> assessed,
      List<Unit> usable,
      Matching.Rules rules,
      List<String> problems) {
    Set<String> ids = usable.stream().map(Unit::id).collect(Collectors.toSet());
    Set<String> bound = new HashSet<>();
    for (Set<String> together : rules.together()) {
      together.forEach(id -> known(id, assessed, ids, problems));
      if (together.size() > rules.parallel()) {
        problems.add(
            words(together)
                + " cannot share a group of "
                + Spoken.counted(rules.parallel(), "unit"));
      }
      together.stream()
          .filter(id -> !bound.add(id))
          .forEach(
              id ->
                  problems.add(
                      "\"" + id + "\" is bound twice; name all that belong together in one list"));
    }
    for (Set<String> apart : rules.apart()) {
      apart.forEach(id -> known(id, assessed, ids, problems));
      if (apart.size() > rules.series()) {
        problems.add(words(apart) + " need as many groups, there are " + rules.series());
      }
      for (Set<String> together : rules.together()) {
        if (together.stream().filter(apart::contains).count() > 1) {
          problems.add(words(together) + " are wanted together and apart");
        }
      }
    }
  }

  private static void known(
      String id, List<Triage.Assessment> assessed, Set<String> usable, List<String> problems) {
    if (usable.contains(id)) {
      return;
    }
    Optional<Triage.Assessment> one =
        assessed.stream().filter(a -> a.unit().id().equals(id)).findFirst();
    List<String> all = assessed.stream().map(a -> a.unit().id()).toList();
    problems.add(
        one.isEmpty()
            ? "there is no unit \"" + id + "\"" + Suggestion.phrase(id, all)
            : "unit \"" + id + "\" is not used: " + one.get().verdict().words());
  }

  private static String words(Set<String> ids) {
    return String.join(", ", new TreeSet<>(ids));
  }

  /** Rated capacity of a group, Ah: the sum of its units' ratings, or what they hold. */
  public double ratedAh(Matching.Group group) {
    return group.units().stream().mapToDouble(c -> unit(c.id()).ratedAh().orElse(c.ah())).sum();
  }

  /** Cells in parallel in a group. */
  public int cells(Matching.Group group) {
    return group.units().stream().mapToInt(c -> unit(c.id()).parallel()).sum();
  }

  public Unit unit(String id) {
    return units.stream()
        .filter(u -> u.id().equals(id))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no unit " + id));
  }
}
