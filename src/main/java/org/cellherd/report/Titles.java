package org.cellherd.report;

import org.cellherd.pack.PackPlan;

/** What stands above reports and plots. */
public final class Titles {

  private Titles() {}

  public static String of(ReportInput input) {
    return input.plan().name()
        + ", "
        + input.made().span(input.tracks().fromMs(), input.tracks().toMs());
  }

  /** A pack's name and arrangement. */
  public static String pack(PackPlan plan) {
    return plan.name() + ", " + Arrangement.of(plan);
  }

  static String pack(ReportInput input) {
    return Arrangement.of(input.plan());
  }
}
