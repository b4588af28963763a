package org.cellherd.pile;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.analysis.Interval;

/**
 * Capacity of groups in series when each unit's is known with an error: drawn many times, since the
 * least of several uncertain sums follows no simple law. The same groups give the same interval.
 */
final class PackCapacity {
  private static final int DRAWS = 4000;

  private PackCapacity() {}

  static Interval of(List<Matching.Group> groups) {
    SplittableRandom random = new SplittableRandom(1);
    double[] mean = groups.stream().mapToDouble(Matching.Group::ah).toArray();
    double[] sd = groups.stream().mapToDouble(PackCapacity::sd).toArray();
    double[] weakest = new double[DRAWS];
    for (int d = 0; d < DRAWS; d++) {
      weakest[d] = Double.POSITIVE_INFINITY;
      for (int g = 0; g < mean.length; g++) {
        weakest[d] = Math.min(weakest[d], mean[g] + sd[g] * normal(random));
      }
    }
    Arrays.sort(weakest);
    return new Interval(
        weakest[(int) (0.025 * DRAWS)], weakest[DRAWS / 2], weakest[(int) (0.975 * DRAWS)]);
  }

  private static double sd(Matching.Group group) {
    return Math.sqrt(group.units().stream().mapToDouble(u -> u.sdAh() * u.sdAh()).sum());
  }

  /** Box and Muller (1958). */
  private static double normal(SplittableRandom random) {
    double u = 1 - random.nextDouble();
    return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * random.nextDouble());
  }
}
