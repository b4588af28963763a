package org.cellherd.alert.setting;

import org.cellherd.alert.RuleId;
import org.cellherd.pack.PackPlan;

/** Which file of defaults a rule's stand in. */
final class RuleDefaults {

  private RuleDefaults() {}

  static RuleSettings of(RuleId rule, PackPlan plan) {
    return switch (rule) {
      case CELL_HIGH -> CellDefaults.cellHigh(plan);
      case CELL_LOW -> CellDefaults.cellLow(plan);
      case LIMIT_AHEAD -> CellDefaults.limitAhead(plan);
      case RUNNER -> CellDefaults.runner(plan);
      case BOUNCE -> CellDefaults.bounce();
      case IMBALANCE -> CellDefaults.imbalance();
      case SPREAD -> CellDefaults.spread();
      case OVER_CURRENT -> CellDefaults.overCurrent(plan);
      case HOT -> HeatDefaults.hot();
      case HEATING -> HeatDefaults.heating(plan);
      case COLD -> HeatDefaults.cold(plan);
      case COLD_CHARGE -> HeatDefaults.coldCharge(plan);
      case CHARGE_ZONE -> HeatDefaults.chargeZone();
      case COLD_MORNING -> HeatDefaults.coldMorning(plan);
      case SILENT -> LineDefaults.silent();
      case FROZEN -> LineDefaults.frozen();
      case CELL_COUNT -> LineDefaults.cellCount();
      case WRONG_BOARD -> LineDefaults.wrongBoard();
      case IMPLAUSIBLE -> LineDefaults.implausible();
      case STORE -> LineDefaults.store();
      case RESTARTED -> LineDefaults.restarted();
      case TEST -> LineDefaults.test();
      case EMPTY_AHEAD -> SeasonDefaults.emptyAhead();
      case STORED_LOW -> SeasonDefaults.storedLow();
      case CHARGE_VOLTAGE -> SeasonDefaults.chargeVoltage();
      case NEVER_FULL -> SeasonDefaults.neverFull(plan);
      case LEAK -> SeasonDefaults.leak();
      case CAPACITY -> SeasonDefaults.capacity();
      case RESISTANCE -> SeasonDefaults.resistance();
      case BANK_SHARE -> SeasonDefaults.bankShare();
    };
  }
}
