package org.cellherd.analysis.balance;

import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView.Joint;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.estimate.LeadEstimator;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.ApartCause;
import org.cellherd.analysis.result.LeakWords;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.RestResult;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.jspecify.annotations.Nullable;

/**
 * Why the cells are apart, as far as the log tells.
 *
 * @param word what it is
 * @param cell the cell concerned from 1, 0 for none
 * @param text for people
 */
record Cause(ApartCause word, int cell, String text) {

  private static final long LEAST_MINUTES = 10;

  /** With less capacity this stays below what {@link FlatRuns} allows for. */
  private static final double NEAR_SHARE = 0.2;

  /** Two ends of one wire are off alike but for what charge makes of each, a share. */
  static final double MIRROR_SHARE = 0.5;

  /** How far below the median cell the one with the least capacity ends at the least, mV. */
  private static final double ENDS_BELOW_MV = 20;

  static final Cause UNKNOWN =
      new Cause(
          ApartCause.UNKNOWN,
          0,
          "Not known yet: no cell is surely ahead or behind, and no joint, sense wire or leak"
              + " shows. A charge to the top shows who is ahead, a load switched on and off at half"
              + " charge a bad joint, weeks of full charges a leak.");

  private static final Cause SEVERAL =
      new Cause(
          ApartCause.UNKNOWN,
          0,
          "No single cell is surely first or last: several hold more charge than others, which"
              + " balancing mends. No joint, sense wire or leak shows.");

  /** True where balancing does not mend it. */
  boolean isFault() {
    return word != ApartCause.UNKNOWN && word != ApartCause.CHARGE_DIFFERENCE;
  }

  /**
   * What the judgement rests on.
   *
   * @param joints bad ones as the beginning of a charge shows
   * @param others what the other analyses tell now
   */
  record Evidence(
      PhaseStatistics phases,
      FlatRuns runs,
      JointSteps steps,
      List<Joint> joints,
      LeadEstimator estimator,
      PackPlan plan,
      List<Lead> leads,
      Function<FindingName, Optional<Finding>> others) {
    /** What another analysis tells; empty where it tells nothing. */
    <R extends Result> Optional<R> told(FindingName name, Class<R> type) {
      return others.apply(name).flatMap(finding -> finding.result(type));
    }

    /** No cell is so far from the others that the curve is another where it stands. */
    boolean isNear() {
      double most = NEAR_SHARE * plan.ratedAh();
      return leads.size() == plan.series() && leads.stream().allMatch(l -> l.ah().high() <= most);
    }
  }

  /**
   * Judges.
   *
   * @param outlier the cell that stands apart at the top; null when none
   */
  static Cause judge(Evidence e, int cells, @Nullable OutlierCell outlier) {
    Cause wiring = wiring(e, cells);
    if (wiring != null) {
      return wiring;
    }
    Optional<Cause> resistance = resistance(e, cells);
    if (resistance.isPresent()) {
      return resistance.get();
    }
    Optional<Cause> leaking = leaking(e);
    if (leaking.isPresent()) {
      return leaking.get();
    }
    if (outlier == null) {
      return e.leads().stream().anyMatch(l -> l.ah().low() > 0) ? SEVERAL : UNKNOWN;
    }
    boolean isSloped = !e.plan().chemistry().plateau().isFlat();
    if (isSloped && outlier.ah().low() <= e.runs().mostAh(outlier.cell() - 1)) {
      return wireOrCharge(outlier);
    }
    return outlier.isBehind() ? lacking(outlier.cell()) : bottom(e, cells, outlier.cell());
  }

  /** Along a slope a wire that is off and a lead move a cell alike; plateau and knee do not. */
  private static Cause wireOrCharge(OutlierCell outlier) {
    return new Cause(
        ApartCause.UNKNOWN,
        outlier.cell(),
        "Cell "
            + outlier.cell()
            + (outlier.isBehind() ? " holds less" : " holds more")
            + " charge than the others, or its sense wire or input is off by a few millivolts: these"
            + " cannot be told apart. Measure the cell with a meter.");
  }

  /**
   * A wire between two cells moves both by the same amount, oppositely; an input moves its own cell
   * alone. Where more than that is off, it is not wiring alone that is. A night that is one charge
   * tells no wire: under one steady current a joint moves a cell alike.
   */
  private static @Nullable Cause wiring(Evidence e, int cells) {
    int first = -1;
    int off = 0;
    for (int i = cells - 1; i >= 0; i--) {
      first = e.runs().isOff(i) ? i : first;
      off += e.runs().isOff(i) ? 1 : 0;
    }
    if (first < 0 || off > 2) {
      return null;
    }
    // The mirror of an error near the least that is told may lie just below it.
    boolean isBefore = first > 0 && isMirror(e, first, first - 1);
    boolean isBehind = first + 1 < cells && isMirror(e, first, first + 1);
    if (isBefore && isBehind) {
      return null;
    }
    if (!isBefore && !isBehind) {
      return off == 1 && e.isNear() ? input(first, e.runs().offMv(first)) : null;
    }
    int other = isBefore ? first - 1 : first + 1;
    // Two neighbours far apart in charge would hardly be off by the same, one each way.
    boolean isSure = e.runs().isOff(other) || (off == 1 && e.isNear());
    return isSure ? wire(Math.min(first, other), e.runs().offMv(first)) : null;
  }

  /** True where a neighbour is off as much the other way: within its own error, half of it. */
  private static boolean isMirror(Evidence e, int cell, int other) {
    double off = Math.abs(e.runs().offMv(cell));
    double most = Math.min(2 * AnalysisSettings.BOARD_FLOOR_MV, MIRROR_SHARE * off);
    return Math.abs(e.runs().offMv(other) + e.runs().offMv(cell)) <= most;
  }

  private static Cause wire(int first, double mv) {
    return new Cause(
        ApartCause.WIRING,
        first + 1,
        String.format(
            Locale.ROOT,
            "Cells %d and %d read about %.0f mV wrong in opposite directions, charged and"
                + " discharged alike: look at the joint of the sense wire between them.",
            first + 1,
            first + 2,
            Math.abs(mv)));
  }

  private static Cause input(int cell, double mv) {
    return new Cause(
        ApartCause.WIRING,
        cell + 1,
        String.format(
            Locale.ROOT,
            "Cell %d reads about %.0f mV too %s, charged and discharged alike: measure it with a"
                + " meter, then look at its sense wires and the board's input.",
            cell + 1,
            Math.abs(mv),
            mv > 0 ? "high" : "low"));
  }

  /**
   * A cell or strap of high resistance moves by more whenever the current changes: by many changes
   * from minute to minute, by what a charge lifts it from the beginning, or by few steps that were
   * looked at closely.
   */
  private static Optional<Cause> resistance(Evidence e, int cells) {
    JointSteps steps = e.steps();
    int most = 0;
    for (int i = 1; i < cells; i++) {
      most = steps.excessMilliohm(i) > steps.excessMilliohm(most) ? i : most;
    }
    if (cells > 2 && steps.isHigh(most)) {
      return Optional.of(resistive(most + 1, steps.excessMilliohm(most)));
    }
    if (!e.joints().isEmpty()) {
      Joint bad = e.joints().get(0);
      return Optional.of(resistive(bad.cell(), 1000 * bad.ohm()));
    }
    return e.told(FindingName.RESISTANCE, ResistanceResult.class)
        .flatMap(
            found ->
                found.cells().stream()
                    .filter(cell -> cell.suspect().isPresent())
                    .max(Comparator.comparingDouble(cell -> cell.mohm().low()))
                    .map(cell -> resistive(cell.cell(), cell.mohm().mid() - found.medianMohm())));
  }

  private static Cause resistive(int cell, double moreMilliohm) {
    return new Cause(
        ApartCause.RESISTANCE,
        cell,
        String.format(
            Locale.ROOT,
            "Cell %d has %s than the others whenever the current changes: check its straps and nuts"
                + " first; if they are sound, it is the cell.",
            cell,
            moreMilliohm > 0
                ? "about " + Spoken.digits(moreMilliohm, 2) + " mΩ more"
                : "far more resistance"));
  }

  /**
   * A cell that surely falls behind, from full charge to full charge or while the pack stands. Full
   * charges of one day do not tell: a leak takes days for what leads are unsure of.
   */
  private static Optional<Cause> leaking(Evidence e) {
    return e.told(FindingName.AGEING, AgeingResult.class)
        .flatMap(ageing -> ageing.leaking().stream().findFirst())
        .map(leak -> new Cause(ApartCause.LEAKING, leak.cell(), LeakWords.of(leak)))
        .or(
            () ->
                e.told(FindingName.REST, RestResult.class)
                    .filter(rest -> rest.suspects().size() == 1)
                    .map(rest -> leakingAtRest(rest.suspects().get(0))));
  }

  private static Cause leakingAtRest(int cell) {
    return new Cause(
        ApartCause.LEAKING,
        cell,
        "Cell "
            + cell
            + " fell behind the others while the pack stood: it discharges itself faster, and"
            + " balancing does not last.");
  }

  private static Cause lacking(int cell) {
    return new Cause(
        ApartCause.CHARGE_DIFFERENCE,
        cell,
        "Cell "
            + cell
            + " holds less charge than all others, which balancing mends. Where that comes back, it"
            + " discharges itself.");
  }

  /** Where the leader of the top stands at the bottom. */
  private static Cause bottom(Evidence e, int cells, int leader) {
    SpreadSeries low = e.phases().get(Phase.LOWER_KNEE);
    if (low.minutes() >= LEAST_MINUTES) {
      int lowest = 0;
      for (int i = 1; i < cells; i++) {
        lowest = low.deviationMv(i) < low.deviationMv(lowest) ? i : lowest;
      }
      double byResistanceMv = 1000 * e.estimator().mostBeyondOhm(lowest) * Math.abs(low.amperes());
      if (lowest + 1 == leader && low.deviationMv(lowest) < -ENDS_BELOW_MV - byResistanceMv) {
        return new Cause(
            ApartCause.LOW_CAPACITY,
            leader,
            "Cell "
                + leader
                + " is first at the top and first at the bottom: it has the least"
                + " capacity, which no balancing mends.");
      }
    }
    return new Cause(
        ApartCause.CHARGE_DIFFERENCE,
        leader,
        "Cell " + leader + " holds more charge than the others, which balancing mends.");
  }
}
