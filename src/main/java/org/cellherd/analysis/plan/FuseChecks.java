package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.FuseRating;
import org.cellherd.pack.Spoken;

/**
 * Fuse between load, wire and board: 1.25 x load <= fuse <= min(board, ampacity). The factor of
 * 1.25 is practice of ABYC E-11 and NEC, from memory.
 */
final class FuseChecks {
  private static final double OVER_LOAD = PlanAudit.OVER_LOAD;
  private static final double MOST_DROP = 0.03;

  /** Resistance of a good large cell times its capacity: 0.25 mohm at 280 Ah, common practice. */
  private static final double MOHM_AH = 70;

  /** Links, wire and lugs of a whole pack, mohm; common practice, no source. */
  private static final double LINK_MOHM = 4;

  private final PackPlan plan;
  private final List<PlanCheck> found = new ArrayList<>();

  private FuseChecks(PackPlan plan) {
    this.plan = plan;
  }

  static List<PlanCheck> of(PackPlan plan) {
    FuseChecks checks = new FuseChecks(plan);
    plan.fuse().ifPresent(checks::fuse);
    checks.room();
    checks.drop();
    return checks.found;
  }

  private void fuse(FuseRating fuse) {
    double amps = fuse.ratedMa() / 1000.0;
    plan.loadMa().ifPresent(load -> overLoad(load / 1000.0 * OVER_LOAD, amps));
    ampacityA()
        .ifPresent(
            wire ->
                add(
                    "fuse-for-wire",
                    amps,
                    wire,
                    Verdict.FAIL,
                    "The fuse is ",
                    "the wire carries "));
    boardA()
        .ifPresent(
            board ->
                add(
                    "fuse-for-board",
                    amps,
                    board,
                    Verdict.WARN,
                    "The fuse is ",
                    "the board is rated (else its own short-circuit trip must be faster) "));
    fuse.maxMv().ifPresent(this::voltage);
    fuse.interruptA().ifPresent(this::interrupt);
  }

  private void overLoad(double needed, double fuse) {
    add(
        "fuse-over-load",
        needed,
        fuse,
        Verdict.FAIL,
        "1.25 times the continuous load is ",
        "the fuse is ");
  }

  private void voltage(int fuseMv) {
    double full = plan.series() * (double) plan.limits().cutOffHighMv();
    found.add(
        PlanCheck.atMost(
            "fuse-voltage",
            full,
            fuseMv,
            "mV",
            Verdict.FAIL,
            "Full, the pack has %s, the fuse breaks up to %s DC."
                .formatted(Spoken.packVolts(full), Spoken.packVolts(fuseMv))));
  }

  /**
   * The current that flows when the pack is shorted behind its fuse, A: n V / (n R + R_link).
   *
   * @param series cells in series
   * @param cellMv voltage of one cell, mV
   * @param groupMohm resistance of one group, mohm
   */
  static double shortA(int series, double cellMv, double groupMohm) {
    return series * cellMv / (series * groupMohm + LINK_MOHM);
  }

  private void interrupt(int fuseA) {
    double mohm = MOHM_AH / plan.ratedAh();
    double amps = shortA(plan.series(), plan.limits().nominalMv(), mohm);
    found.add(
        PlanCheck.atMost(
            "fuse-interrupts",
            amps,
            fuseA,
            "A",
            Verdict.WARN,
            "Shorted, the pack may give about %s A (guessed %s mohm a group), the fuse breaks %s."
                .formatted(Say.roughly(amps), Say.roughly(mohm), Say.amps(fuseA))));
  }

  /** Is there any fuse that fits? */
  private void room() {
    OptionalDouble wire = ampacityA();
    OptionalDouble board = boardA();
    if (plan.loadMa().isEmpty() || (wire.isEmpty() && board.isEmpty())) {
      return;
    }
    double needed = plan.loadMa().getAsInt() / 1000.0 * OVER_LOAD;
    double most = Math.min(wire.orElse(Double.MAX_VALUE), board.orElse(Double.MAX_VALUE));
    add(
        "room-for-a-fuse",
        needed,
        most,
        Verdict.FAIL,
        "A fuse must be at least ",
        "wire and board allow at most ");
  }

  private void drop() {
    plan.wire()
        .ifPresent(
            w -> {
              if (isDropKnown(w)) {
                drop(
                    w.tenthMm2().getAsInt() / 10.0,
                    w.lengthMm().getAsInt() / 1000.0,
                    plan.loadMa().getAsInt() / 1000.0);
              }
            });
  }

  private boolean isDropKnown(PackPlan.Wire wire) {
    return wire.tenthMm2().isPresent() && wire.lengthMm().isPresent() && plan.loadMa().isPresent();
  }

  private void drop(double mm2, double metres, double amps) {
    double lost = Copper.dropMv(mm2, metres, amps);
    double most = plan.nominalMv() * MOST_DROP;
    found.add(
        PlanCheck.atMost(
            "wire-drop",
            lost,
            most,
            "mV",
            Verdict.WARN,
            "At full load the wire loses %s, 3 %% of the pack are %s."
                .formatted(Spoken.packVolts(lost), Spoken.packVolts(most))));
  }

  private OptionalDouble ampacityA() {
    return plan.wire().map(Copper::ampacityA).orElse(OptionalDouble.empty());
  }

  private OptionalDouble boardA() {
    OptionalInt ma = plan.board().map(b -> b.continuousMa()).orElse(OptionalInt.empty());
    return ma.isPresent() ? OptionalDouble.of(ma.getAsInt() / 1000.0) : OptionalDouble.empty();
  }

  private void add(
      String name, double value, double limit, Verdict otherwise, String first, String second) {
    found.add(
        PlanCheck.atMost(
            name,
            value,
            limit,
            "A",
            otherwise,
            first + Say.amps(value) + ", " + second + Say.amps(limit) + "."));
  }
}
