package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/**
 * Where a board's reading and a plan cannot both be right. Only contradictions are told: what a
 * board does not report is not checked, and a worn or empty pack contradicts nothing.
 */
public final class BoardFit {

  /** Sums of cells and the pack's own voltage differ by offsets of two converters, not by this. */
  private static final double SUM_SHARE = 0.02;

  /** Above a cut-off by a converter's error and a charger's overshoot, not by this, mV. */
  private static final int ABOVE_MV = 100;

  /** New cells hold a tenth more than their rating; more is another pack. Practice, no source. */
  private static final double MOST_OF_RATED = 1.25;

  /** From here on a reported state of charge says that a cell cannot be near empty, 0.1 %. */
  private static final int HALF_TENTH_PCT = 500;

  /** Below the nominal voltage, half full, by a tenth of C through worn cells, doubled, mV. */
  private static final int SAG_MV = 200;

  /** No sensor in a pack that works reads less or more, 0.1 degC. */
  private static final int COLDEST = -400;

  private static final int HOTTEST = 1_000;

  /** Above the dead zone of common boards, mA: a current that is really told. */
  private static final int TOLD_MA = 1_000;

  private final PackPlan plan;
  private final Reading reading;
  private final List<PlanCheck> found = new ArrayList<>();

  private BoardFit(PackPlan plan, Reading reading) {
    this.plan = plan;
    this.reading = reading;
  }

  /** Every contradiction between a plan and a reading, each a check that fails. */
  public static List<PlanCheck> of(PackPlan plan, Reading reading) {
    BoardFit fit = new BoardFit(plan, reading);
    fit.count();
    fit.sum();
    fit.chemistry();
    fit.capacity();
    fit.sign();
    fit.temperatures();
    return List.copyOf(fit.found);
  }

  private void fail(String name, double value, double limit, String unit, String sentence) {
    found.add(new PlanCheck(name, Verdict.FAIL, value, limit, unit, sentence));
  }

  private void count() {
    int counted = reading.cells().countWithoutPadding(plan.series());
    if (reading.cells().presentCount() > 0 && counted != plan.series()) {
      fail(
          "board-cells",
          counted,
          plan.series(),
          "cells",
          "The board reports "
              + Spoken.counted(counted, "cell")
              + ", the plan has "
              + plan.series()
              + " in series: correct series, or look for a sense wire that is off.");
    }
  }

  private void sum() {
    OptionalInt pack = reading.packMv();
    OptionalInt sum = reading.cells().sumTenthMv();
    if (pack.isPresent() && pack.getAsInt() > 0) {
      double perCell = pack.getAsInt() / (double) plan.series();
      CellLimits limits = plan.limits();
      if (perCell > limits.cutOffHighMv() + ABOVE_MV || perCell < limits.cutOffLowMv() / 2.0) {
        fail(
            "board-pack-voltage",
            pack.getAsInt(),
            plan.nominalMv(),
            "mV",
            "The board reports "
                + Spoken.packVolts(pack.getAsInt())
                + ", which "
                + plan.series()
                + " "
                + plan.chemistry().word()
                + " cells in series cannot have: correct series or chemistry.");
      }
      if (sum.isPresent()
          && Math.abs(sum.getAsInt() / 10.0 - pack.getAsInt()) > SUM_SHARE * pack.getAsInt()) {
        fail(
            "board-voltage-sum",
            sum.getAsInt() / 10.0,
            pack.getAsInt(),
            "mV",
            "The cells add up to "
                + Spoken.packVolts(sum.getAsInt() / 10.0)
                + ", the board reports "
                + Spoken.packVolts(pack.getAsInt())
                + " for the pack: a cell is missing, or the board description is not this"
                + " board's.");
      }
    }
  }

  private void chemistry() {
    CellVoltages cells = reading.cells();
    CellLimits limits = plan.limits();
    int highest = cells.highestCell();
    if (highest > 0 && cells.mv(highest) > limits.cutOffHighMv() + ABOVE_MV) {
      fail(
          "board-chemistry",
          cells.mv(highest),
          limits.cutOffHighMv(),
          "mV",
          String.format(
              Locale.ROOT,
              "Cell %d is at %s, and %s ends at %s: correct the chemistry, or stop the charge now.",
              highest,
              Spoken.volts(cells.mv(highest)),
              plan.chemistry().word(),
              Spoken.volts(limits.cutOffHighMv())));
    }
    OptionalInt median = cells.medianTenthMv();
    boolean isHalfFull = reading.socTenthPct().orElse(0) >= HALF_TENTH_PCT;
    boolean isEasy = Math.abs(reading.currentMa().orElse(0)) * 10L <= plan.ratedMah();
    double low = limits.nominalMv() - SAG_MV;
    if (isHalfFull && isEasy && median.isPresent() && median.getAsInt() / 10.0 < low) {
      fail(
          "board-chemistry",
          median.getAsInt() / 10.0,
          low,
          "mV",
          "The board reports "
              + Spoken.number(reading.socTenthPct().getAsInt() / 10.0, 0)
              + " % at "
              + Spoken.volts(median.getAsInt() / 10.0)
              + " a cell, too low for "
              + plan.chemistry().word()
              + ": correct the chemistry, or set the board's state of charge.");
    }
  }

  private void capacity() {
    OptionalInt held = reading.boardMah();
    if (held.isPresent() && held.getAsInt() > MOST_OF_RATED * plan.ratedMah()) {
      fail(
          "board-capacity",
          held.getAsInt() / 1000.0,
          plan.ratedAh(),
          "Ah",
          "The board counts "
              + Spoken.number(held.getAsInt() / 1000.0, 1)
              + " Ah in a pack rated "
              + Spoken.number(plan.ratedAh(), 1)
              + " Ah: correct rated_ah, or the capacity that is set in the board.");
    }
  }

  /** A switch that is open passes current in the other direction only, by its body diode. */
  private void sign() {
    int current = reading.currentMa().orElse(0);
    boolean charges = current > TOLD_MA && reading.chargeSwitch().orElse(1) == 0;
    boolean discharges = current < -TOLD_MA && reading.dischargeSwitch().orElse(1) == 0;
    if (charges || discharges) {
      fail(
          "board-current-sign",
          current / 1000.0,
          0,
          "A",
          "The board reports "
              + Spoken.amps(Math.abs(current) / 1000.0)
              + (charges
                  ? " charging while its charge switch is open"
                  : " discharging while its discharge switch is open")
              + ": the sign of the current in the board description may be wrong way round.");
    }
  }

  private void temperatures() {
    int sensors = reading.temperatures().count();
    for (int sensor = 1; sensor <= sensors; sensor++) {
      if (reading.temperatures().has(sensor)) {
        int tenth = reading.temperatures().tenthC(sensor);
        if (tenth < COLDEST || tenth > HOTTEST) {
          fail(
              "board-temperature",
              tenth / 10.0,
              tenth < COLDEST ? COLDEST / 10.0 : HOTTEST / 10.0,
              "degC",
              "Sensor "
                  + sensor
                  + " reads "
                  + Spoken.celsius(tenth / 10.0)
                  + ", which no pack has: the sensor is missing or broken, or its field is"
                  + " described wrongly.");
        }
      }
    }
    if (sensors > 0 && plan.sensors().size() > sensors) {
      fail(
          "board-sensors",
          sensors,
          plan.sensors().size(),
          "sensors",
          "The board reports %s, the plan gives roles to %s: correct sensors."
              .formatted(Spoken.counted(sensors, "temperature sensor"), plan.sensors().size()));
    }
  }
}
