package org.cellherd.analysis.setpoint;

import java.util.List;
import org.cellherd.pack.CellSheet;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Spoken;

/** Temperatures of the cells at which the board stops charge and discharge. */
final class TemperaturePoints {

  private static final int CHARGE_HIGH_C = 45;
  private static final int USE_HIGH_C = 60;

  /** A trip is over this far on its mild side: no flutter as the sun comes and goes. */
  private static final int RELEASE_C = 5;

  private TemperaturePoints() {}

  static List<SetPoints.Point> of(Chemistry chemistry, double hotWarnC) {
    CellSheet.ByTemperature sheet = chemistry.sheet().byTemperature();
    int cold = sheet.chargeFloorC();
    int coldest = sheet.useFloorC();
    return List.of(
        SetPoints.Point.celsius("charge_low_c", "charge, stop below", cold, why(sheet.cold())),
        SetPoints.Point.celsius(
            "charge_low_release_c", "charge, again above", cold + RELEASE_C, release()),
        SetPoints.Point.celsius(
            "charge_high_c", "charge, stop above", CHARGE_HIGH_C, why(sheet.warm())),
        SetPoints.Point.celsius(
            "charge_high_release_c", "charge, again below", CHARGE_HIGH_C - RELEASE_C, release()),
        SetPoints.Point.celsius(
            "discharge_low_c",
            "discharge, stop below",
            coldest,
            new Why("The cold end of use.", sheet.floor())),
        SetPoints.Point.celsius(
            "discharge_low_release_c", "discharge, again above", coldest + RELEASE_C, release()),
        SetPoints.Point.celsius(
            "discharge_high_c", "discharge, stop above", USE_HIGH_C, hot(sheet, hotWarnC)),
        SetPoints.Point.celsius(
            "discharge_high_release_c",
            "discharge, again below",
            USE_HIGH_C - 2 * RELEASE_C,
            new Why("A hot pack is left to cool.", Why.PRACTICE)));
  }

  private static Why release() {
    return new Why(RELEASE_C + " °C on the mild side, so that it does not flutter.", Why.PRACTICE);
  }

  private static Why why(CellSheet.Reason reason) {
    return new Why(reason.text(), reason.source());
  }

  private static Why hot(CellSheet.ByTemperature sheet, double hotWarnC) {
    String alert =
        hotWarnC < USE_HIGH_C
            ? "Our alert comes at " + Spoken.celsius(hotWarnC) + " first."
            : "Our alert comes only at "
                + Spoken.celsius(hotWarnC)
                + ": lower warn_c under [alert.hot].";
    return new Why(alert, sheet.heat());
  }
}
