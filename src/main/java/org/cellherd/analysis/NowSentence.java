package org.cellherd.analysis;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;

/** What is happening with a pack now, in one plain sentence. */
public final class NowSentence {

  private NowSentence() {}

  /** The sentence for the latest entry. */
  public static String of(PackView view) {
    Optional<Reading> reading = view.reading();
    if (reading.isEmpty()) {
      return "Nothing was heard from the board yet.";
    }
    if (!view.isFresh()) {
      return "The board is silent.";
    }
    CellVoltages cells = reading.get().cells();
    String within = within(cells);
    return switch (view.frameClass()) {
      case UNKNOWN -> "Listening" + within + ".";
      case REST -> "Resting" + within + ".";
      case IDLE -> "No current" + within + ".";
      case HOLD -> "Held at the top, " + highest(cells) + "; " + balance(view.balance()) + ".";
      case CHARGE_PLATEAU -> "Charging" + amperes(view.flowingMa()) + within + ".";
      case UPPER_KNEE ->
          "Charging"
              + amperes(view.flowingMa())
              + " near the top, "
              + highest(cells)
              + "; "
              + balance(view.balance())
              + ".";
      case DISCHARGE -> "Discharging" + amperes(view.flowingMa()) + within + ".";
      case LOWER_KNEE -> "Nearly empty" + amperes(view.flowingMa()) + ", " + lowest(cells) + ".";
    };
  }

  private static String amperes(OptionalInt flowingMa) {
    return flowingMa.isPresent() && flowingMa.getAsInt() != 0
        ? String.format(Locale.ROOT, " at %.1f A", Math.abs(flowingMa.getAsInt()) / 1000.0)
        : "";
  }

  private static String within(CellVoltages cells) {
    OptionalInt spread = cells.spreadTenthMv();
    return spread.isPresent()
        ? String.format(Locale.ROOT, ", cells within %.0f mV", spread.getAsInt() / 10.0)
        : "";
  }

  private static String highest(CellVoltages cells) {
    int cell = cells.highestCell();
    return cell == 0 ? "no cell told" : volts("highest", cell, cells);
  }

  private static String lowest(CellVoltages cells) {
    int cell = cells.lowestCell();
    return cell == 0 ? "no cell told" : volts("lowest", cell, cells);
  }

  private static String volts(String which, int cell, CellVoltages cells) {
    return String.format(
        Locale.ROOT, "cell %d %s with %.3f V", cell, which, cells.tenthMv(cell) / 10_000.0);
  }

  private static String balance(BalanceView balance) {
    String state =
        switch (balance.state()) {
          case UNKNOWN, NOT_AT_TOP -> "balance not known yet";
          case CONVERGING -> "balancing";
          case STALLED -> "balance stalled";
          case DIVERGING -> "cells moving apart";
          case BALANCED -> "balanced";
        };
    return balance
        .etaHours()
        .filter(eta -> balance.state() == BalanceView.State.CONVERGING)
        .map(
            eta ->
                String.format(
                    Locale.ROOT,
                    "%s, about %.0f h to go, %.0f to %.0f",
                    state,
                    eta.mid(),
                    Math.floor(eta.low()),
                    Math.ceil(eta.high())))
        .orElse(state);
  }
}
