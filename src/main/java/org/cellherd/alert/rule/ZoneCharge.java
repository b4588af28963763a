package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellSheet.ChargeZone;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Spoken;

/**
 * Charged faster or higher than published tables allow at the cells' temperature. Where {@link
 * ColdCharge} and {@link Hot} speak, this does not.
 */
final class ZoneCharge extends Rule {
  static final RuleId ID = new RuleId("charge-zone");

  static final Rule.Kind KIND =
      Rule.Kind.ofAll(
          ID,
          "charging for half an hour faster or higher than published tables allow at that temperature.",
          ZoneCharge::defaults,
          (plan, all) ->
              new ZoneCharge(plan, all.rule(ID), all.rule(ColdCharge.ID).number("warn_c")));

  private static final double TABLES_END_C = 60;

  private final PackPlan plan;
  private final double fromC;
  private final double slack;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE)
        .number("slack_pct", 10, 0, 100, "a rate above the table's by this much")
        .delays(1800, 24 * 3600)
        .repeatedAfter(0);
  }

  /**
   * Made from its settings.
   *
   * @param fromC colder cells are another rule's
   */
  ZoneCharge(PackPlan plan, RuleSettings set, double fromC) {
    super(Terms.live(set, "C").spoiltAs(Doubt.HEAT).judgedEvery(10_000));
    this.plan = plan;
    this.fromC = fromC;
    slack = 1 + set.number("slack_pct") / 100;
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Sensors sensors = input.sensors();
    int coldest = sensors.coldestCell();
    if (coldest == 0 || input.flowingMa().isEmpty() || input.fresh().isEmpty()) {
      return;
    }
    double rate = input.flowingMa().getAsInt() / (double) plan.ratedMah();
    int hottest = sensors.hottest(SensorRole.CELL);
    int sensor = exceeded(input, sensors, coldest, rate) ? coldest : hottest;
    boolean isBeyond = rate > 0 && exceeded(input, sensors, sensor, rate);
    int level = isBeyond ? 1 : 0;
    if (!out.needs(0, level)) {
      return;
    }
    ChargeZone zone = zone(sensors, sensor);
    out.judge(
        0,
        new Judgement(
            level,
            !isBeyond,
            rate,
            Math.min(zone.mostRate(), 100),
            () -> words(sensors.celsius(sensor), rate, highestMv(input), zone)));
  }

  private ChargeZone zone(Sensors sensors, int sensor) {
    return plan.chemistry().sheet().chargeZone((int) Math.round(10 * sensors.celsius(sensor)));
  }

  private boolean exceeded(RuleInput input, Sensors sensors, int sensor, double rate) {
    double celsius = sensors.celsius(sensor);
    return celsius >= fromC
        && celsius <= TABLES_END_C
        && zone(sensors, sensor).isExceeded(rate / slack, highestMv(input));
  }

  private static double highestMv(RuleInput input) {
    return input
        .fresh()
        .filter(r -> r.cells().highestCell() > 0)
        .map(r -> r.cells().tenthMv(r.cells().highestCell()) / 10.0)
        .orElse(0.0);
  }

  private Words words(double celsius, double rate, double highestMv, ChargeZone zone) {
    boolean hasRate = zone.mostRate() < 100;
    boolean hasVolts = zone.mostCellMv() != ChargeZone.ANY_MV;
    String most =
        (hasRate ? Spoken.number(zone.mostRate(), 2) + "C" : "")
            + (hasRate && hasVolts ? " or " : "")
            + (hasVolts ? Spoken.volts(zone.mostCellMv()) : "");
    return Words.of(
        "Charged at "
            + Spoken.number(rate, 2)
            + "C"
            + (hasVolts ? " up to " + Spoken.volts(highestMv) + " a cell" : "")
            + " while cells are at "
            + Spoken.celsius(celsius)
            + "; published tables for "
            + plan.chemistry().word()
            + " allow "
            + most
            + " there",
        "Lower the charge current or voltage at this temperature, by the cell maker's sheet.",
        Facts.of()
            .put("temp_c", celsius, 1)
            .put("c_rate", rate, 3)
            .put("highest_mv", highestMv, 1)
            .put("zone", zone.word())
            .build());
  }
}
