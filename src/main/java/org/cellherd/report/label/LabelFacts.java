package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.report.Arrangement;
import org.cellherd.report.Made;

/**
 * What a label says, from plan and measured capacity.
 *
 * @param name what people call the pack
 * @param lines what matters, each {@code name, value}
 * @param note the builder's note, may be empty
 * @param made when
 */
public record LabelFacts(String name, List<Line> lines, String note, String made) {

  /** More letters are too small to read. */
  private static final int MOST_UNIT_LETTERS = 90;

  /** One fact. */
  public record Line(String name, String value) {}

  /** Copies the list. */
  public LabelFacts {
    lines = List.copyOf(lines);
  }

  /**
   * Collects them.
   *
   * @param capacity the newest accepted capacity; without it the label says that none was measured
   */
  public static LabelFacts of(PackPlan plan, Optional<Finding> capacity, Made made) {
    List<Line> lines = new ArrayList<>();
    lines.add(
        new Line(
            "Pack",
            Arrangement.chemistry(plan)
                + " "
                + plan.series()
                + "S"
                + plan.parallel()
                + "P, "
                + plan.series() * plan.parallel()
                + " cells"));
    lines.add(new Line("Nominal", number(plan.nominalMv()) + " V"));
    lines.add(new Line("Rated", Spoken.exactly(plan.ratedMah(), 3) + " Ah"));
    lines.add(new Line("Measured", measured(capacity, made)));
    lines.add(new Line("Charge", charge(plan)));
    lines.add(new Line("Cell limits", limits(plan)));
    lines.add(new Line("No charge", "below " + format(coldLimit(plan), 0) + " \u00b0C"));
    board(plan).ifPresent(text -> lines.add(new Line("Board", text)));
    fuse(plan).ifPresent(text -> lines.add(new Line("Fuse", text)));
    current(plan).ifPresent(text -> lines.add(new Line("Load", text)));
    units(plan, made).ifPresent(text -> lines.add(new Line("Units", text)));
    return new LabelFacts(plan.name(), lines, plan.note(), made.day(made.atMs()));
  }

  /** The same as plain text, for a QR code; the note last, where a limit of length may cut it. */
  public String plainText() {
    StringBuilder text = new StringBuilder(name).append('\n');
    lines.forEach(line -> text.append(line.name() + ": " + line.value() + "\n"));
    text.append("Label of " + made + "\n" + Cautions.SHORT);
    if (!note.isEmpty()) {
      text.append("\nNote: " + note);
    }
    return text.toString();
  }

  /** The same for scripts: each line by its name. */
  public Facts facts() {
    Facts.Builder facts = Facts.of().put("name", name);
    lines.forEach(line -> facts.put(key(line.name()), line.value()));
    return facts.put("note", note).put("made", made).put("caution", Cautions.SHORT).build();
  }

  private static String key(String name) {
    return name.toLowerCase(Locale.ROOT).replace(' ', '_');
  }

  private static String measured(Optional<Finding> capacity, Made made) {
    Optional<CapacityResult> test = capacity.flatMap(f -> f.result(CapacityResult.class));
    if (test.isEmpty() || test.get().ah().isEmpty()) {
      return "capacity not measured";
    }
    double amps = Math.abs(test.get().meanCurrentA());
    OptionalDouble share = test.get().ratedPct();
    return format(test.get().ah().get().mid(), 1)
        + " Ah"
        + (share.isPresent() ? " (" + format(share.getAsDouble(), 0) + " %)" : "")
        + (Double.isNaN(amps) ? "" : " at " + format(amps, 1) + " A")
        + ", "
        + made.day(capacity.get().toMs());
  }

  private static String charge(PackPlan plan) {
    String volts = "to " + number(plan.chargeMv()) + " V";
    OptionalInt amps = plan.chargerMa();
    // What the charger gives, not what the pack may take: that nobody told.
    return amps.isPresent() ? volts + ", charger " + number(amps.getAsInt()) + " A" : volts;
  }

  private static String limits(PackPlan plan) {
    return number(plan.limits().cutOffLowMv())
        + " to "
        + number(plan.limits().cutOffHighMv())
        + " V";
  }

  private static double coldLimit(PackPlan plan) {
    return AlertSettings.defaults(plan).rule(RuleId.COLD_CHARGE).number("limit_c");
  }

  private static Optional<String> board(PackPlan plan) {
    return plan.board()
        .map(
            board ->
                board.continuousMa().isPresent()
                    ? board.name() + ", " + number(board.continuousMa().getAsInt()) + " A"
                    : board.name());
  }

  private static Optional<String> fuse(PackPlan plan) {
    return plan.fuse().map(fuse -> number(fuse.ratedMa()) + " A");
  }

  /** Which unit is where, cell by cell; of many only the number fits a label. */
  private static Optional<String> units(PackPlan plan, Made made) {
    List<List<String>> groups = plan.unitsAt(made.atMs());
    if (groups.isEmpty()) {
      return Optional.empty();
    }
    List<String> cells = groups.stream().map(g -> String.join(" ", g)).toList();
    String all = String.join(" | ", cells);
    int count = groups.stream().mapToInt(List::size).sum();
    return Optional.of(
        all.length() <= MOST_UNIT_LETTERS ? all : count + ", see the page in the lid");
  }

  private static Optional<String> current(PackPlan plan) {
    return plan.loadMa().isPresent()
        ? Optional.of(number(plan.loadMa().getAsInt()) + " A at most")
        : Optional.empty();
  }

  private static String number(long thousandths) {
    return Spoken.exactly(thousandths, 3);
  }

  private static String format(double value, int decimals) {
    return String.format(Locale.ROOT, "%." + decimals + "f", value);
  }
}
