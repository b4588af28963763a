package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;

/**
 * What a plan leaves open, each as the sentence of the check that falls away: silence must not look
 * like a pass.
 */
final class Untold {

  private final List<String> sentences = new ArrayList<>();

  private Untold() {}

  static List<String> of(PackPlan plan) {
    Untold untold = new Untold();
    untold.unless(
        plan.loadMa().isPresent(), "load_a", "whether cells, board, fuse and wire carry the load");
    untold.unless(
        plan.chargerMa().isPresent(),
        "charger_a",
        "whether cells and board take the charger's current");
    plan.board()
        .ifPresentOrElse(
            untold::board,
            () ->
                untold.unless(
                    false, "[pack.board]", "the board's currents, trips and bleed level"));
    untold.unless(
        plan.fuse().isPresent(), "[pack.fuse]", "whether the fuse protects cells and wire");
    untold.unless(plan.wire().isPresent(), "[pack.wire]", "whether the wire outlasts the fuse");
    return untold.sentences;
  }

  private void board(BoardRating board) {
    unless(
        board.continuousMa().isPresent(),
        "[pack.board] continuous_a",
        "whether the board carries load and charger");
    unless(
        board.tripHighMv().isPresent(),
        "[pack.board] trip_high_mv",
        "whether the board stops the charge in time");
    unless(
        board.tripLowMv().isPresent(),
        "[pack.board] trip_low_mv",
        "whether the board stops the discharge in time");
    unless(
        board.bleedFromMv().isPresent(),
        "[pack.board] bleed_from_mv",
        "whether the charge goes high enough to balance");
  }

  private void unless(boolean isTold, String key, String what) {
    if (!isTold) {
      sentences.add("Not checked: " + what + " (the plan has no " + key + ").");
    }
  }
}
