package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.analysis.trend.Medians;

/** Counts how often stated intervals hold the truth, in all and by stratum. */
public final class Strata {
  private final Map<String, int[]> counts = new TreeMap<>();
  private final Map<String, List<Double>> widthsOf = new TreeMap<>();
  private final List<String> missed = new ArrayList<>();

  /** One interval was stated: whether it held, and its width in the unit of the claim. */
  public void told(boolean holds, double width, String what, String... strata) {
    if (!holds) {
      missed.add(what);
    }
    count("all", holds, width);
    for (String stratum : strata) {
      count(stratum, holds, width);
    }
  }

  private void count(String stratum, boolean holds, double width) {
    widthsOf.computeIfAbsent(stratum, s -> new ArrayList<>()).add(width);
    int[] of = counts.computeIfAbsent(stratum, s -> new int[2]);
    of[0]++;
    of[1] += holds ? 1 : 0;
  }

  /** How many intervals were stated. */
  public int told() {
    return told("all");
  }

  /** How many were stated in a stratum. */
  public int told(String stratum) {
    return widthsOf.getOrDefault(stratum, List.of()).size();
  }

  /** The median width in a stratum. */
  public double width(String stratum) {
    return median(widthsOf.getOrDefault(stratum, List.of()));
  }

  private static double median(List<Double> of) {
    return Medians.median(of.stream().mapToDouble(w -> w).toArray());
  }

  /** The table, and what was missed. */
  @Override
  public String toString() {
    StringBuilder text = new StringBuilder("\n");
    counts.forEach(
        (name, n) ->
            text.append(
                String.format(
                    Locale.ROOT,
                    "%-16s %3d told, %5.1f %% hold, median width %.3f%n",
                    name,
                    n[0],
                    pct(n),
                    width(name))));
    missed.forEach(m -> text.append(m).append('\n'));
    return text.toString();
  }

  private static double pct(int[] n) {
    return 100.0 * n[1] / n[0];
  }

  /** At least 93 % in all and 88 % in every stratum of 20 and more. */
  public void assertHeld() {
    counts.forEach(
        (name, n) -> {
          if (name.equals("all") || n[0] >= 20) {
            assertThat(pct(n)).as("%s of%n%s", name, this).isGreaterThan(least(name));
          }
        });
  }

  private static double least(String stratum) {
    return stratum.equals("all") ? 93 : 88;
  }
}
