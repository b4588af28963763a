package org.cellherd.analysis.capacity;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Facts;

/**
 * How the cells stood at the top before a test: tells a cell that ends a discharge for want of
 * charge, which balancing mends, from one that ends it for want of capacity. One thread.
 */
final class LastTop {
  /** A cell that stands out by less at the bottom is not judged, mV. */
  private static final double TELLING_LAG_MV = 100;

  /** A cell behind by less than this share of the rating was as full as the others. */
  private static final double EQUAL_SHARE = 0.02;

  private final double ratedAh;
  private final double[] leads;
  private boolean isBalanced;

  LastTop(int cells, double ratedAh) {
    this.ratedAh = ratedAh;
    leads = new double[cells];
    Arrays.fill(leads, Double.NaN);
  }

  /** Takes the facts of a full charge. */
  void take(Facts fullCharge) {
    isBalanced = fullCharge.text("state").filter("balanced"::equals).isPresent();
    Arrays.fill(leads, Double.NaN);
    for (Object row : (List<?>) fullCharge.get("lead").orElse(List.of())) {
      if (row instanceof Facts lead) {
        int cell = (int) lead.number("cell").orElse(0);
        if (cell >= 1 && cell <= leads.length) {
          leads[cell - 1] = lead.number("mid_ah").orElse(Double.NaN);
        }
      }
    }
  }

  /** {@code low_capacity}, {@code low_charge}, or empty text where it cannot be told. */
  String cause(int cell, double endLagMv) {
    if (cell < 1 || endLagMv < TELLING_LAG_MV) {
      return "";
    }
    double[] known = Arrays.stream(leads).filter(v -> !Double.isNaN(v)).toArray();
    boolean isKnown = known.length == leads.length && leads.length > 2;
    if (!isKnown) {
      return isBalanced ? "low_capacity" : "";
    }
    double behind = Medians.median(known) - leads[cell - 1];
    return behind <= EQUAL_SHARE * ratedAh ? "low_capacity" : "low_charge";
  }

  void save(StateWriter out) {
    out.putDoubles(leads).putBoolean(isBalanced);
  }

  void restore(StateReader in) {
    double[] saved = in.getDoubles();
    if (saved.length != leads.length) {
      throw new StateMismatch("leads of " + saved.length + " cells");
    }
    System.arraycopy(saved, 0, leads, 0, leads.length);
    isBalanced = in.getBoolean();
  }
}
