package org.cellherd.pile;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What triage says of a pile.
 *
 * @param units in the order of the file
 */
public record Triage(List<Assessment> units) {
  public Triage {
    units = List.copyOf(units);
  }

  public static Triage of(List<Unit> pile, TriageSettings settings) {
    // A unit that is out for damage or voltage must not set the standard of the others.
    List<Unit> sound = pile.stream().filter(Triage::isPeer).toList();
    return new Triage(pile.stream().map(u -> new UnitJudge(u, sound, settings).judge()).toList());
  }

  private static boolean isPeer(Unit unit) {
    return unit.damage().isEmpty();
  }

  public List<Assessment> of(UnitVerdict verdict) {
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
}
