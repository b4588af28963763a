package org.cellherd.report;

import java.util.Locale;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** A pack's build in words. */
public final class Arrangement {

  private Arrangement() {}

  /** Such as {@code LFP 4S6P, 12.8 V nominal, 27 Ah rated}. */
  public static String of(PackPlan plan) {
    return chemistry(plan)
        + " "
        + plan.series()
        + "S"
        + plan.parallel()
        + "P, "
        + Spoken.exactly(plan.nominalMv(), 3)
        + " V nominal, "
        + Spoken.exactly(plan.ratedMah(), 3)
        + " Ah rated";
  }

  /** Such as {@code LFP}. */
  public static String chemistry(PackPlan plan) {
    return plan.chemistry().word().toUpperCase(Locale.ROOT);
  }
}
