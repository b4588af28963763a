package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;

/**
 * Currents of load, charger, board and cells. Eight tenths of the board's rating and the C-rates
 * are common practice, no source.
 */
final class CurrentChecks {
  private static final double BOARD_SHARE = 0.8;
  private static final double CHARGE_C = PlanAudit.CHARGE_C;
  private static final double DISCHARGE_C = PlanAudit.DISCHARGE_C;

  private final PackPlan plan;
  private final double health;
  private final List<PlanCheck> found = new ArrayList<>();

  private CurrentChecks(PackPlan plan, double health) {
    this.plan = plan;
    this.health = health;
  }

  static List<PlanCheck> of(PackPlan plan, double health) {
    CurrentChecks checks = new CurrentChecks(plan, health);
    plan.board().ifPresent(checks::board);
    checks.cells();
    return checks.found;
  }

  private void board(BoardRating board) {
    OptionalInt rated = board.continuousMa();
    rated.ifPresent(
        ma -> {
          plan.loadMa().ifPresent(load -> within("board-for-load", "load", load, ma));
          plan.chargerMa().ifPresent(charge -> within("board-for-charger", "charger", charge, ma));
        });
    OptionalInt cell = plan.cell().continuousMa();
    if (rated.isPresent() && cell.isPresent()) {
      boardForCells(rated.getAsInt() / 1000.0, cell.getAsInt() / 1000.0);
    }
    OptionalInt peak = plan.cell().peakMa();
    if (board.tripMa().isPresent() && peak.isPresent()) {
      tripForCells(board.tripMa().getAsInt() / 1000.0, peak.getAsInt() / 1000.0);
    }
  }

  private void within(String name, String what, int ma, int boardMa) {
    double amps = ma / 1000.0;
    double most = boardMa / 1000.0 * BOARD_SHARE;
    Verdict otherwise = ma <= boardMa ? Verdict.WARN : Verdict.FAIL;
    found.add(
        PlanCheck.atMost(
            name,
            amps,
            most,
            "A",
            otherwise,
            "The %s takes %s, eight tenths of the board's continuous rating are %s."
                .formatted(what, Say.amps(amps), Say.amps(most))));
  }

  private void boardForCells(double boardA, double cellA) {
    double most = plan.parallel() * cellA * health;
    found.add(
        PlanCheck.atMost(
            "board-for-cells",
            boardA,
            most,
            "A",
            Verdict.FAIL,
            "The board allows "
                + Say.amps(boardA)
                + " for ever, "
                + Say.group(plan.parallel(), cellA)
                + Say.health(health)
                + " allow "
                + Say.amps(most)
                + "."));
  }

  private void tripForCells(double tripA, double peakA) {
    double most = plan.parallel() * peakA;
    found.add(
        PlanCheck.atMost(
            "trip-for-cells",
            tripA,
            most,
            "A",
            Verdict.FAIL,
            "The board trips at %s, the cells' peak is %s."
                .formatted(Say.amps(tripA), Say.amps(most))));
  }

  /** By rating where the cells' is told, else by the usual rates of second-life cells. */
  private void cells() {
    OptionalInt told = plan.cell().continuousMa();
    OptionalInt charge = plan.cell().chargeMa().isPresent() ? plan.cell().chargeMa() : told;
    plan.loadMa()
        .ifPresent(
            ma ->
                rate("cells-for-load", "load", ma, told.isPresent(), byRating(told), DISCHARGE_C));
    plan.chargerMa()
        .ifPresent(
            ma ->
                rate(
                    "cells-for-charger",
                    "charger",
                    ma,
                    charge.isPresent(),
                    byRating(charge),
                    CHARGE_C));
  }

  private double byRating(OptionalInt told) {
    return told.orElse(0) / 1000.0 * plan.parallel() * health;
  }

  private void rate(
      String name, String what, int ma, boolean isTold, double byRating, double usualC) {
    double amps = ma / 1000.0;
    double usual = usualC * plan.ratedAh() * health;
    double most = isTold ? byRating : usual;
    found.add(
        PlanCheck.atMost(
            name,
            amps,
            most,
            "A",
            isTold ? Verdict.FAIL : Verdict.WARN,
            "The "
                + what
                + " takes "
                + Say.amps(amps)
                + (isTold ? ", the cells allow " : ", usual for used cells is ")
                + Say.amps(most)
                + "."));
  }
}
