package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;

/** A cells file of invented units, alike to those of the simulated crate: nobody measured them. */
final class InventedPile {

  private static final int UNITS = 30;
  private static final double RATED_AH = 4.5;

  private final Random random;

  private InventedPile(long seed) {
    random = new Random(seed);
  }

  public static List<String> lines(long seed) {
    return new InventedPile(seed).draw();
  }

  private List<String> draw() {
    List<String> lines = new ArrayList<>();
    lines.add(
        "# An invented pile, written by the demo. All numbers are made up, none was measured.");
    lines.add(
        "id,donor,chemistry,rated_ah,rest_1_v,rest_1_at,rest_2_v,rest_2_at,res_1_mohm,res_1_by,"
            + "cap_1_ah,cap_1_a,damage");
    for (int unit = 1; unit <= UNITS; unit++) {
      lines.add(unit(unit));
    }
    return lines;
  }

  /** Five of thirty have something; the rest are worn alike. */
  private String unit(int unit) {
    double first = 3.302 + 0.001 * random.nextGaussian();
    double fall = unit == 12 ? 0.031 : 0.002;
    double mohm = (unit == 28 ? 27 : 13.2) * (1 + 0.05 * random.nextGaussian());
    double ah = (unit == 19 ? 2.4 : 0.84 * RATED_AH) * (1 + 0.02 * random.nextGaussian());
    return String.format(
        Locale.ROOT,
        "k%02d,%s,lfp,%.1f,%.4f,2025-11-30T18:00,%.4f,2026-01-04T18:00,%.1f,ac,%s,0.9,%s",
        unit,
        unit <= 16 ? "scooter" : "lamp",
        RATED_AH,
        first,
        first - fall + 0.0005 * random.nextGaussian(),
        mohm,
        unit == 23 ? "" : String.format(Locale.ROOT, "%.3f", ah),
        unit == 7 ? "swollen" : "");
  }
}
