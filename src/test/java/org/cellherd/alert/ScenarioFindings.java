package org.cellherd.alert;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Facts;

/**
 * The findings that a {@link AlertScenario} hands to the rules, made up from a few numbers each.
 */
final class ScenarioFindings {

  private ScenarioFindings() {}

  private static double leakMa(String[] w) {
    return w[2].equals("leak_ma") ? Double.parseDouble(w[3]) : 5;
  }

  /** The result of a line {@code finding NAME ...}. */
  static Facts facts(FindingName name, String[] w) {
    double number = w.length > 2 ? Double.parseDouble(w[w.length - 1]) : 0;
    return switch (name) {
      case REST ->
          Facts.of()
              .put(
                  "cells",
                  List.of(
                      Facts.of()
                          .put("cell", (long) number)
                          .put("drift_mv_per_day", -0.9, 2)
                          .put("leak_ma_low", leakMa(w), 2)
                          .put("leak_ma_high", 2 * leakMa(w), 2)
                          .build()))
              .put("suspects", List.of((int) number))
              .build();
      case RESISTANCE ->
          Facts.of()
              .put(
                  "cells",
                  List.of(
                      Facts.of()
                          .put("cell", (long) number)
                          .put("mohm", 4.2, 2)
                          .put("suspect", "strap")
                          .build()))
              .build();
      case CAPACITY ->
          Facts.of()
              .put("ah", number, 3)
              .put("ah_high", number * 1.01, 3)
              .put("coverage_pct", 99.5, 1)
              .put("c_rate", 0.2, 3)
              .put("start_kind", "tail")
              .put("usable", usable(w.length > 4 ? Double.parseDouble(w[3]) : 0, number))
              .build();
      case FULL_CHARGE -> Facts.of().put("lead", leads(w)).build();
      default -> Facts.NONE;
    };
  }

  private static List<Facts> leads(String[] w) {
    List<Facts> leads = new ArrayList<>();
    for (int i = 3; i < w.length; i++) {
      double ah = Double.parseDouble(w[i]);
      leads.add(
          Facts.of()
              .put("cell", i - 2)
              .put("low_ah", Math.max(0, ah - 0.2), 3)
              .put("mid_ah", ah, 3)
              .put("high_ah", ah + 0.2, 3)
              .build());
    }
    return leads;
  }

  private static Facts usable(double costsAh, double ah) {
    double all = ah + costsAh;
    return Facts.of()
        .put(
            "imbalance_costs",
            Facts.of()
                .put("low_ah", costsAh, 2)
                .put("mid_ah", costsAh + 0.5, 2)
                .put("high_ah", costsAh + 1, 2)
                .build())
        .put(
            "balanced",
            Facts.of()
                .put("low_ah", all * 0.99, 3)
                .put("mid_ah", all, 3)
                .put("high_ah", all * 1.01, 3)
                .build())
        .build();
  }
}
