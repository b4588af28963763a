package org.cellherd.analysis.setpoint;

import java.util.List;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Spoken;

/** Temperatures of the cells at which the board stops charge and discharge. */
final class TemperaturePoints {

  private static final int CHARGE_HIGH_C = 45;
  private static final int USE_HIGH_C = 60;

  /** A trip is over this far on its mild side: no flutter as the sun comes and goes. */
  private static final int RELEASE_C = 5;

  private TemperaturePoints() {}

  static List<SetPoint> of(Chemistry chemistry, double hotWarnC) {
    int cold = chemistry.chargeFloorC();
    int coldest = chemistry.useFloorC();
    String floor = cold == 0 ? Why.PACK_SHEET : Why.PRACTICE;
    return List.of(
        SetPoint.celsius("charge_low_c", "charge, stop below", cold, chargeLow(chemistry)),
        SetPoint.celsius(
            "charge_low_release_c", "charge, again above", cold + RELEASE_C, release()),
        SetPoint.celsius(
            "charge_high_c", "charge, stop above", CHARGE_HIGH_C, chargeHigh(chemistry)),
        SetPoint.celsius(
            "charge_high_release_c", "charge, again below", CHARGE_HIGH_C - RELEASE_C, release()),
        SetPoint.celsius(
            "discharge_low_c",
            "discharge, stop below",
            coldest,
            new Why("The cold end of use.", floor)),
        SetPoint.celsius(
            "discharge_low_release_c", "discharge, again above", coldest + RELEASE_C, release()),
        SetPoint.celsius(
            "discharge_high_c", "discharge, stop above", USE_HIGH_C, hot(chemistry, hotWarnC)),
        SetPoint.celsius(
            "discharge_high_release_c",
            "discharge, again below",
            USE_HIGH_C - 2 * RELEASE_C,
            new Why("A hot pack is left to cool.", Why.PRACTICE)));
  }

  private static Why release() {
    return new Why(RELEASE_C + " °C on the mild side, so that it does not flutter.", Why.PRACTICE);
  }

  private static Why chargeLow(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP ->
          new Why(
              "Lithium plates on cold graphite. Up to 5 °C at most 0.1 C, up to 10 °C 0.2 C.",
              Why.LFP_MODULE);
      case NMC, NCA ->
          new Why(
              "Lithium plates on cold graphite. Up to 10 °C at most 0.5 C, or 4.1 V a cell.",
              Why.JEITA);
      case LTO, SODIUM_ION ->
          new Why("These cells tolerate more cold than graphite does.", Why.PRACTICE);
    };
  }

  private static Why chargeHigh(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP -> new Why("Heat ages cells at the top.", Why.PACK_SHEET);
      case NMC, NCA -> new Why("Above it only to 4.15 V, from 50 °C to 4.1 V.", Why.JEITA);
      case LTO, SODIUM_ION -> new Why("Heat ages cells at the top.", Why.PRACTICE);
    };
  }

  private static Why hot(Chemistry chemistry, double hotWarnC) {
    String alert =
        hotWarnC < USE_HIGH_C
            ? "Our alert comes at " + Spoken.celsius(hotWarnC) + " first."
            : "Our alert comes only at "
                + Spoken.celsius(hotWarnC)
                + ": lower warn_c under [alert.hot].";
    boolean isIron = chemistry == Chemistry.LFP;
    return new Why(
        alert,
        isIron ? Why.LFP_MODULE : chemistry.chargeFloorC() == 0 ? Why.PACK_SHEET : Why.PRACTICE);
  }
}
