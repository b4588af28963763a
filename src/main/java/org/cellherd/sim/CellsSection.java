package org.cellherd.sim;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Chemistry;
import org.cellherd.toml.TomlTable;

/** {@code [pack.cells]} and {@code [[pack.cell]]}: what all cells are, and what some are. */
final class CellsSection {

  private final double ratedAh;
  private final double socPct;
  private final double capacityPct;
  private final double capacitySpreadPct;
  private final double resistanceMohm;
  private final double resistanceSpreadPct;
  private final double aheadSpreadAh;
  private final double leakMaPerAh;
  private final double leakSpreadPct;
  private final double hysteresisMv;
  private final double lagS;
  private final double strapMohm;
  private final double leadMohm;
  private final double mainMohm;
  private final List<OneCell> single = new ArrayList<>();

  CellsSection(TomlTable pack, int series, double ratedAh) {
    this.ratedAh = ratedAh;
    TomlTable t = pack.tableOrEmpty("cells");
    double usualMohm = 1000 * Impedance.usualOhm(ratedAh);
    socPct = t.decimal("soc_pct", -2, 102, 50);
    capacityPct = t.decimal("capacity_pct", 1, 200, 100);
    capacitySpreadPct = t.decimal("capacity_spread_pct", 0, 30, 0);
    resistanceMohm = t.decimal("resistance_mohm", 0.01, 10_000, usualMohm);
    resistanceSpreadPct = t.decimal("resistance_spread_pct", 0, 30, 0);
    aheadSpreadAh = t.decimal("ahead_spread_ah", 0, 10_000, 0);
    leakMaPerAh = t.decimal("leak_ma_per_ah", 0, 1000, 0.005);
    leakSpreadPct = t.decimal("leak_spread_pct", 0, 30, 0);
    hysteresisMv = t.decimal("hysteresis_mv", 0, 50, 4);
    lagS = t.decimal("lag_s", 0, 3600, 180);
    strapMohm = t.decimal("strap_mohm", 0, 1000, usualMohm / 20);
    leadMohm = t.decimal("lead_mohm", 0, 100_000, 50);
    mainMohm = t.decimal("main_mohm", 0.01, 1000, 2 * usualMohm);
    for (TomlTable one : pack.tables("cell")) {
      single.add(new OneCell(one, series));
    }
  }

  SimPack build(Chemistry chemistry, int series, double ambientC, Chance chance) {
    List<Cell> cells = new ArrayList<>();
    for (int number = 1; number <= series; number++) {
      cells.add(cell(chemistry, number, chance));
    }
    return new SimPack(cells, strapMohm / 1000, leadMohm / 1000, mainMohm / 1000, ambientC);
  }

  private Cell cell(Chemistry chemistry, int number, Chance chance) {
    OneCell one = single.stream().filter(c -> c.number == number).findFirst().orElse(OneCell.NONE);
    Chance mine = chance.of("cell").of(Integer.toString(number));
    double capacity =
        one.capacityPct.draw(mine.of("low"))
            / 100
            * ratedAh
            * capacityPct
            / 100
            * vary(capacitySpreadPct, mine.of("capacity"));
    double mohm =
        Double.isNaN(one.resistanceMohm)
            ? resistanceMohm * vary(resistanceSpreadPct, mine.of("resistance"))
            : one.resistanceMohm;
    double leak =
        Double.isNaN(one.leakMaPerAh)
            ? leakMaPerAh * vary(leakSpreadPct, mine.of("leak"))
            : one.leakMaPerAh;
    double ahead =
        one.isAheadGiven
            ? one.aheadAh.draw(mine.of("ahead"))
            : aheadSpreadAh * mine.of("ahead").unit(0);
    Impedance impedance = Impedance.usual(mohm / 1000).withLagS(lagS);
    CellTraits traits =
        new CellTraits(
            Curves.of(chemistry), capacity, impedance, hysteresisMv / 1000, leak / 1000 * capacity);
    double missingAh = (1 - socPct / 100) * ratedAh * capacityPct / 100 - ahead;
    return new Cell(traits, 1 - missingAh / capacity);
  }

  /** A factor around 1, at most three standard deviations away. */
  private static double vary(double spreadPct, Chance chance) {
    double normal = Math.max(-3, Math.min(3, chance.normal(0)));
    return Math.max(0.05, 1 + spreadPct / 100 * normal);
  }

  /** What one cell is, where it differs. */
  private static final class OneCell {
    static final OneCell NONE = new OneCell();

    final int number;
    final Drawn aheadAh;
    final boolean isAheadGiven;
    final Drawn capacityPct;
    final double resistanceMohm;
    final double leakMaPerAh;

    private OneCell() {
      number = 0;
      aheadAh = Drawn.fixed(0);
      isAheadGiven = false;
      capacityPct = Drawn.fixed(100);
      resistanceMohm = Double.NaN;
      leakMaPerAh = Double.NaN;
    }

    OneCell(TomlTable t, int series) {
      number = t.integer("number", 1, series);
      isAheadGiven = t.has("ahead_ah");
      aheadAh = Drawn.read(t, "ahead_ah", -10_000, 10_000, 0);
      capacityPct = Drawn.read(t, "capacity_pct", 1, 200, 100);
      resistanceMohm = t.decimalIfAny("resistance_mohm", 0.01, 10_000).orElse(Double.NaN);
      leakMaPerAh = t.decimalIfAny("leak_ma_per_ah", 0, 1000).orElse(Double.NaN);
    }
  }
}
