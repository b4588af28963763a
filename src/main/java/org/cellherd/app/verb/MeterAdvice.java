package org.cellherd.app.verb;

import java.util.Locale;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.pack.Spoken;

/** Which single reading of a trusted meter would narrow what is told of a pack's charge most. */
final class MeterAdvice {
  /** A test of capacity as most do it: empty in five hours. */
  private static final double TEST_HOURS = 5;

  private MeterAdvice() {}

  /**
   * Of a charge that was counted.
   *
   * @param gainAh what the gain of the board's current leaves open of it, Ah
   * @param offsetAh the same of its offset
   * @param amperes mean current
   */
  static String ofCharge(double gainAh, double offsetAh, double amperes) {
    return "What would narrow this most: one reading of a trusted meter "
        + where(gainAh >= offsetAh, amperes)
        + ". \"cellherd meter --help\" says how.";
  }

  /** Of a pack that has no log yet, for its first test of capacity. */
  static String ofNewPack(double ratedAh) {
    double gainAh = CurrentFit.USUAL_GAIN * ratedAh;
    double offsetAh = CurrentFit.usualOffsetA(ratedAh) * TEST_HOURS;
    return String.format(
        Locale.ROOT,
        "A board's current may be off by %.0f %% and by %s A, and with it all charge that is"
            + " counted. What narrows that most: one reading of a trusted meter %s. Once \"cellherd"
            + " run\" is logging, \"cellherd meter\" takes it.",
        100 * CurrentFit.USUAL_GAIN,
        Spoken.digits(CurrentFit.usualOffsetA(ratedAh), 2),
        where(gainAh >= offsetAh, ratedAh / TEST_HOURS));
  }

  private static String where(boolean isGain, double amperes) {
    return isGain
        ? String.format(Locale.ROOT, "under load, at %.1f A or so", amperes)
        : "of the current at rest, with all loads off";
  }
}
