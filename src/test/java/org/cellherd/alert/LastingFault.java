package org.cellherd.alert;

import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.ColdCharge;
import org.cellherd.alert.rule.Hot;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/** Something that is really wrong with a pack and stays so, put upon healthy readings. */
enum LastingFault {
  CELL_TOO_HIGH(CellHigh.ID),
  CELL_TOO_LOW(CellLow.ID),
  TOO_HOT(Hot.ID),
  CHARGED_IN_THE_COLD(ColdCharge.ID),
  WARMS_FAST(Rules.id("heating"));

  /** Far beyond every limit of every chemistry. */
  private static final double WARMING_PER_MIN = 15;

  private final RuleId rule;

  LastingFault(RuleId rule) {
    this.rule = rule;
  }

  static LastingFault of(long seed) {
    List<LastingFault> all = List.of(values());
    return all.get((int) (seed % all.size()));
  }

  RuleId rule() {
    return rule;
  }

  /** The rule's delay; a rate over one minute is known a minute later. */
  long delayMs(AlertSettings settings) {
    return settings.rule(rule).ms("on_delay_s") + (this == WARMS_FAST ? 70_000 : 0);
  }

  Reading on(Reading healthy, PackPlan plan, long sinceMs) {
    Reading.Builder b = Reading.at(healthy.timeMs()).cells(healthy.cells());
    b.temperatures(healthy.temperatures()).currentMa(healthy.currentMa().orElse(0));
    switch (this) {
      case CELL_TOO_HIGH -> b.cells(firstCell(healthy, plan.limits().cutOffHighMv() * 10 + 800));
      case CELL_TOO_LOW -> b.cells(firstCell(healthy, plan.limits().cutOffLowMv() * 10 - 6000));
      case TOO_HOT -> b.temperatures(firstSensor(healthy, 650));
      case CHARGED_IN_THE_COLD ->
          b.temperatures(firstSensor(healthy, -60)).currentMa((int) (plan.ratedMah() / 4));
      case WARMS_FAST ->
          b.temperatures(
              firstSensor(healthy, (int) (250 + 10 * WARMING_PER_MIN * sinceMs / 60_000)));
    }
    return b.build();
  }

  private static CellVoltages firstCell(Reading healthy, int tenthMv) {
    CellVoltages cells = healthy.cells();
    return CellVoltages.ofTenthMv(
        IntStream.rangeClosed(1, cells.count())
            .map(c -> c == 1 ? tenthMv : cells.tenthMv(c))
            .toArray());
  }

  private static Temperatures firstSensor(Reading healthy, int tenthC) {
    Temperatures temps = healthy.temperatures();
    return Temperatures.ofTenthC(
        IntStream.rangeClosed(1, Math.max(1, temps.count()))
            .map(s -> s == 1 ? tenthC : temps.tenthC(s))
            .toArray());
  }
}
