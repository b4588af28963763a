package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.pack.Spoken;
import org.cellherd.report.Made;

/**
 * The capacity tests that a label tells: of each rate the newest that was neither cold nor
 * doubtful, else the newest, which then says so.
 */
final class LabelTests {

  /** Below this cells give notably less than at room temperature (common practice, no source). */
  private static final double COLD_C = 15;

  /** Tests whose currents differ by less are of one rate. */
  private static final double ALIKE = 1.25;

  /** Bounds that are wider than this share of the capacity are told. */
  private static final double WIDE = 0.05;

  /** An offset of the current that may be worth more than this share puts a test in doubt. */
  private static final double DOUBTFUL = 0.05;

  private static final String COLD = ", cold";
  private static final String OFFSET = "offset suspected";

  private static final int MOST_RATES = 2;

  private final Made made;
  private final List<CapacityResult> shown = new ArrayList<>();

  LabelTests(List<Finding> tests, Made made) {
    this.made = made;
    List<CapacityResult> newestFirst =
        tests.stream()
            .flatMap(f -> f.result(CapacityResult.class).stream())
            .filter(test -> test.ah().isPresent())
            .sorted(Comparator.comparingLong(CapacityResult::toMs).reversed())
            .toList();
    List<CapacityResult> best = new ArrayList<>(newestFirst);
    best.sort(Comparator.comparing(test -> isCold(test) || isDoubtful(test)));
    for (CapacityResult test : best) {
      if (shown.size() < MOST_RATES
          && shown.stream().noneMatch(other -> isOfOneRate(test, other))) {
        shown.add(test);
      }
    }
    shown.sort(Comparator.comparingDouble(LabelTests::amps));
  }

  private static boolean isCold(CapacityResult test) {
    return test.conditions().meanTempC() < COLD_C;
  }

  private static boolean isDoubtful(CapacityResult test) {
    Interval offset = test.sensor().offsetAh();
    double most = Math.max(Math.abs(offset.low()), Math.abs(offset.high()));
    return !test.sensor().metered() && Double.isFinite(most) && most > DOUBTFUL * ah(test).mid();
  }

  private static boolean isOfOneRate(CapacityResult one, CapacityResult other) {
    double ratio = amps(one) / amps(other);
    return ratio < ALIKE && ratio > 1 / ALIKE;
  }

  private static double amps(CapacityResult test) {
    return Math.abs(test.meanCurrentA());
  }

  private static Interval ah(CapacityResult test) {
    return test.ah().orElseThrow();
  }

  /** The capacity at the lower rate and what it is worth, for the largest figure of the label. */
  String figure() {
    if (shown.isEmpty()) {
      return "untested";
    }
    CapacityResult test = shown.get(0);
    String ah = Spoken.number(ah(test).mid(), 1) + " Ah";
    if (isCold(test)) {
      return ah + COLD;
    }
    return isDoubtful(test) ? ah + ", " + OFFSET : ah + bounds(test);
  }

  /** Where they are wide. */
  private static String bounds(CapacityResult test) {
    Interval ah = ah(test);
    double width = ah.high() - ah.low();
    return Double.isFinite(width) && width > WIDE * ah.mid()
        ? " (" + Spoken.between(ah.low(), ah.high(), 1) + ")"
        : "";
  }

  /** One line a rate: current, and what was found under which conditions. */
  List<LabelFacts.Line> lines() {
    List<LabelFacts.Line> lines = new ArrayList<>();
    for (CapacityResult test : shown) {
      String rate =
          Double.isNaN(amps(test)) ? "Measured" : "At " + Spoken.number(amps(test), 1) + " A";
      lines.add(new LabelFacts.Line(rate, told(test)));
    }
    return lines;
  }

  /** Such as {@code 20 Jun 2026 and 21 Jun 2026}, in the order of the lines; empty for untested. */
  String days() {
    return shown.stream()
        .map(test -> made.day(test.toMs()))
        .distinct()
        .collect(Collectors.joining(" and "));
  }

  private String told(CapacityResult test) {
    List<String> parts = new ArrayList<>();
    parts.add(Spoken.number(ah(test).mid(), 1) + " Ah" + bounds(test));
    Optional<Interval> wh = test.energy().wh();
    wh.ifPresent(energy -> parts.add(Spoken.number(energy.mid(), 0) + " Wh"));
    double warm = test.conditions().meanTempC();
    if (!Double.isNaN(warm)) {
      parts.add(Spoken.number(warm, 0) + " \u00b0C" + (isCold(test) ? COLD : ""));
    }
    if (isDoubtful(test)) {
      parts.add(OFFSET);
    }
    return String.join(", ", parts);
  }
}
