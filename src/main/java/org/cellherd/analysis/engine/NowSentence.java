package org.cellherd.analysis.engine;

import java.util.Comparator;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.balance.BalanceWords;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;

/** What is happening with a pack now, in one plain sentence. */
public final class NowSentence {

  /** Less is not worth a word, and would be said as 0.0 Ah. */
  private static final double LEAST_LEAD_AH = 0.05;

  /** Stops of the charge within an hour that are no accident any more. */
  private static final int LEAST_TRIPS = 2;

  /** Cells further apart are no herd any more: it matters which one strays. */
  private static final double WIDE_MV = 50;

  private static final String NOT_KNOWN = "balance not known yet";

  private NowSentence() {}

  public static String of(PackView view) {
    Optional<Reading> reading = view.reading();
    if (reading.isEmpty()) {
      return "Nothing was heard from the board yet.";
    }
    if (!view.isFresh()) {
      return "The board is silent.";
    }
    Optional<Bounce> bounce = view.bounce().filter(b -> b.trips() >= LEAST_TRIPS);
    if (bounce.isPresent()) {
      return bouncing(bounce.get(), view.balance(), view.timeMs());
    }
    CellVoltages cells = reading.get().cells();
    String within = within(cells);
    return switch (view.phase()) {
      case UNKNOWN -> "Listening" + within + ".";
      case REST -> "Resting" + within + ".";
      case IDLE -> "No current" + within + ".";
      case HOLD -> atTop("held at the top", view, cells);
      case CHARGE_PLATEAU -> "Charging" + amperes(view.flowingMa()) + within + ".";
      case UPPER_KNEE ->
          atTop("charging" + amperes(view.flowingMa()) + " near the top", view, cells);
      case DISCHARGE -> "Discharging" + amperes(view.flowingMa()) + within + ".";
      case LOWER_KNEE -> "Nearly empty" + amperes(view.flowingMa()) + ", " + lowest(cells) + ".";
    };
  }

  /** What people wait for is said first: that the pack is balanced. */
  private static String atTop(String how, PackView view, CellVoltages cells) {
    BalanceView balance = view.balance();
    if (balance.state() == BalanceView.State.BALANCED) {
      return "Balanced"
          + lasting(balance.levelled(), view.timeMs())
          + " and "
          + how
          + within(cells)
          + apart(balance.levelled())
          + ".";
    }
    return how.substring(0, 1).toUpperCase(Locale.ROOT)
        + how.substring(1)
        + ", "
        + top(cells, balance, view.timeMs())
        + ".";
  }

  private static String bouncing(Bounce bounce, BalanceView balance, long nowMs) {
    String ahead =
        leader(balance)
            .filter(lead -> lead.cell() == bounce.cell())
            .map(lead -> "; it is " + BalanceWords.lead(lead.ah()) + " ahead")
            .orElse("");
    double minutes = bounce.periodMin();
    return String.format(
        Locale.ROOT,
        minutes < 2
            ? "Cell %d makes the board stop the charge about every %.0f s%s; %s."
            : "Cell %d makes the board stop the charge about every %.0f min%s; %s.",
        bounce.cell(),
        minutes < 2 ? minutes * 60 : minutes,
        ahead,
        state(balance, nowMs));
  }

  private static String amperes(OptionalInt flowingMa) {
    return flowingMa.isPresent() && flowingMa.getAsInt() != 0
        ? String.format(Locale.ROOT, " at %.1f A", Math.abs(flowingMa.getAsInt()) / 1000.0)
        : "";
  }

  private static String within(CellVoltages cells) {
    OptionalInt spread = cells.spreadTenthMv();
    if (spread.isEmpty()) {
      return "";
    }
    double mv = spread.getAsInt() / 10.0;
    return mv < WIDE_MV ? String.format(Locale.ROOT, ", cells within %.0f mV", mv) : apart(cells);
  }

  /** Which cell it is that stands apart: "cell 2 lowest at 2.934 V, 343 mV below the median". */
  private static String apart(CellVoltages cells) {
    int median = cells.medianTenthMv().orElseThrow();
    int below = median - cells.tenthMv(cells.lowestCell());
    int above = cells.tenthMv(cells.highestCell()) - median;
    return String.format(
        Locale.ROOT,
        ", %s, %.0f mV %s the median",
        below >= above ? lowest(cells) : highest(cells),
        Math.max(below, above) / 10.0,
        below >= above ? "below" : "above");
  }

  private static String highest(CellVoltages cells) {
    int cell = cells.highestCell();
    return cell == 0 ? "no cell reported" : volts("highest", cell, cells);
  }

  private static String lowest(CellVoltages cells) {
    int cell = cells.lowestCell();
    return cell == 0 ? "no cell reported" : volts("lowest", cell, cells);
  }

  private static String volts(String which, int cell, CellVoltages cells) {
    return String.format(
        Locale.ROOT, "cell %d %s at %.3f V", cell, which, cells.tenthMv(cell) / 10_000.0);
  }

  /** "cell 3 highest at 3.615 V and 0.6 Ah ahead; about 5 h to balance, 4 to 6". */
  private static String top(CellVoltages cells, BalanceView balance, long nowMs) {
    Optional<BalanceView.Lead> leader = leader(balance);
    String ahead =
        leader
            // Who may be nothing ahead is no news while another is highest.
            .filter(lead -> lead.cell() == cells.highestCell() || lead.ah().low() > 0)
            .map(
                lead ->
                    (lead.cell() == cells.highestCell()
                            ? " and "
                            : "; cell " + lead.cell() + " is ")
                        + BalanceWords.lead(lead.ah())
                        + " ahead")
            .orElse("");
    return highest(cells) + ahead + "; " + state(balance, nowMs);
  }

  private static Optional<BalanceView.Lead> leader(BalanceView balance) {
    return switch (balance.state()) {
      case NOT_AT_TOP, BALANCED -> Optional.empty();
      case UNKNOWN, CONVERGING, STALLED, DIVERGING ->
          balance.leads().stream()
              .max(Comparator.comparingDouble(lead -> lead.ah().mid()))
              .filter(lead -> lead.ah().mid() >= LEAST_LEAD_AH)
              .filter(lead -> BalanceWords.isTelling(lead.ah()));
    };
  }

  private static String state(BalanceView balance, long nowMs) {
    return switch (balance.state()) {
      case NOT_AT_TOP -> NOT_KNOWN;
      case UNKNOWN -> balance.etaHours().map(BalanceWords::toBalance).orElse(NOT_KNOWN);
      case CONVERGING -> balance.etaHours().map(BalanceWords::toBalance).orElse("balancing");
      case STALLED -> "balance stalled";
      case DIVERGING -> "cells moving apart";
      case BALANCED -> "balanced" + lasting(balance.levelled(), nowMs) + apart(balance.levelled());
    };
  }

  /** " for 5 h". */
  private static String lasting(BalanceView.Levelled levelled, long nowMs) {
    return levelled.balancedAtMs().isPresent()
        ? " for " + BalanceWords.lasting(nowMs - levelled.balancedAtMs().getAsLong())
        : "";
  }

  /** "; cell 3 was 0.65 Ah ahead (0.56 to 0.74)". */
  private static String apart(BalanceView.Levelled levelled) {
    return levelled.apart().map(a -> "; cell " + BalanceWords.was(a)).orElse("");
  }
}
