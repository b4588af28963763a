package org.cellherd.pile;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;

/** Piles drawn at random. */
final class Piles {

  private Piles() {}

  /** Units whose capacities vary by some percent, resistances by some more. */
  static List<Matching.Candidate> drawn(Random random, int count, double spread) {
    List<Matching.Candidate> units = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double ah = 5 * (1 + spread * random.nextGaussian());
      units.add(
          new Matching.Candidate(
              "u" + i,
              random.nextBoolean() ? "red" : "blue",
              Math.max(0.5, ah),
              0.05,
              OptionalDouble.of(20 * (1 + 0.3 * random.nextDouble()))));
    }
    return units;
  }

  /** Strength of the weakest group of the best of all arrangements, by trying every one. */
  static double bruteForce(List<Matching.Candidate> units, Matching.Rules rules) {
    return new BruteForce(units, rules).best();
  }

  /** Every unit into every group or aside, one after the other; no cleverness at all. */
  private static final class BruteForce {
    private final List<Matching.Candidate> units;
    private final Matching.Rules rules;
    private final int[] place;
    private double best = Double.NEGATIVE_INFINITY;

    BruteForce(List<Matching.Candidate> units, Matching.Rules rules) {
      this.units = units;
      this.rules = rules;
      this.place = new int[units.size()];
    }

    double best() {
      put(0);
      return best;
    }

    private void put(int unit) {
      if (unit == place.length) {
        judge();
        return;
      }
      for (int g = -1; g < rules.series(); g++) {
        place[unit] = g;
        put(unit + 1);
      }
    }

    private void judge() {
      double[] sums = new double[rules.series()];
      int[] counts = new int[rules.series()];
      String[] donors = new String[rules.series()];
      for (int u = 0; u < place.length; u++) {
        if (place[u] >= 0) {
          int g = place[u];
          sums[g] += units.get(u).ah();
          counts[g]++;
          if (rules.isOneDonorPerGroup()
              && donors[g] != null
              && !donors[g].equals(units.get(u).donor())) {
            return;
          }
          donors[g] = units.get(u).donor();
        }
      }
      double weakest = Double.POSITIVE_INFINITY;
      for (int g = 0; g < rules.series(); g++) {
        if (counts[g] != rules.parallel()) {
          return;
        }
        weakest = Math.min(weakest, sums[g]);
      }
      if (weakest > best && Wish.areMet(rules, id -> place[indexOf(id)])) {
        best = weakest;
      }
    }

    private int indexOf(String id) {
      for (int u = 0; u < units.size(); u++) {
        if (units.get(u).id().equals(id)) {
          return u;
        }
      }
      throw new IllegalArgumentException(id);
    }
  }
}
