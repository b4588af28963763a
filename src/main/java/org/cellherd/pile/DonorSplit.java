package org.cellherd.pile;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Groups of one donor each: how many groups each donor gives, so that the weakest of all is
 * strongest, then each donor by itself. Every further group of a donor costs its groups strength,
 * so the groups are handed out one by one, each to the donor whose groups stay strongest.
 */
final class DonorSplit {

  private DonorSplit() {}

  static Optional<List<Matching.Found>> of(List<Matching.Candidate> units, Matching.Rules rules) {
    Map<String, List<Matching.Candidate>> byDonor = new LinkedHashMap<>();
    units.forEach(u -> byDonor.computeIfAbsent(u.donor(), d -> new ArrayList<>()).add(u));
    Map<String, Integer> groups = new LinkedHashMap<>();
    for (int g = 0; g < rules.series(); g++) {
      String best = "";
      double bestBound = -1;
      for (Map.Entry<String, List<Matching.Candidate>> donor : byDonor.entrySet()) {
        int count = groups.getOrDefault(donor.getKey(), 0) + 1;
        double bound = bound(donor.getValue(), count, rules.parallel());
        if (bound > bestBound) {
          bestBound = bound;
          best = donor.getKey();
        }
      }
      if (bestBound < 0) {
        return Optional.empty();
      }
      groups.merge(best, 1, Integer::sum);
    }
    List<Matching.Found> parts = new ArrayList<>();
    for (Map.Entry<String, Integer> part : groups.entrySet()) {
      List<Matching.Candidate> own = byDonor.getOrDefault(part.getKey(), Collections.emptyList());
      Matching.Rules rule =
          new Matching.Rules(
              part.getValue(), rules.parallel(), rules.together(), rules.apart(), false);
      Optional<Matching.Found> found = Matching.solve(own, rule);
      if (found.isEmpty()) {
        return Optional.empty();
      }
      parts.add(found.get());
    }
    return Optional.of(parts);
  }

  private static double bound(List<Matching.Candidate> units, int series, int parallel) {
    return units.size() < series * parallel
        ? -1
        : Bound.weakest(
            units.stream().mapToDouble(Matching.Candidate::ah).toArray(), series, parallel);
  }
}
