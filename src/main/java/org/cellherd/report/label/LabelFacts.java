package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.alert.rule.ColdCharge;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.analysis.result.FullChargeResult;
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
 * @param capacity the measured capacity at the lower rate, or that there is none
 * @param lines what matters, each {@code name, value}
 * @param tested on which days, may be empty
 * @param note the builder's note, may be empty
 * @param made when
 */
public record LabelFacts(
    String name, String capacity, List<Line> lines, String tested, String note, String made) {

  private static final double MV_PER_V = 1000;
  private static final int MV_PER_CV = 10;

  /** More letters are too small to read. */
  private static final int MOST_UNIT_LETTERS = 90;

  public record Line(String name, String value) {}

  public LabelFacts {
    lines = List.copyOf(lines);
  }

  /**
   * Collects them.
   *
   * @param found accepted capacity tests, without any the label says that there was none; and where
   *     the balance stands
   */
  public static LabelFacts of(PackPlan plan, List<Finding> found, Made made) {
    LabelTests measured = new LabelTests(found, made);
    List<Line> lines = new ArrayList<>(measured.lines());
    balanced(found, made).ifPresent(text -> lines.add(new Line("Balanced", text)));
    lines.add(
        new Line(
            "Pack",
            Arrangement.chemistry(plan)
                + " "
                + plan.series()
                + "S"
                + plan.parallel()
                + "P, "
                + Spoken.counted((long) plan.series() * plan.parallel(), "cell")));
    String rated = Spoken.exactly(plan.ratedMah(), 3) + " Ah, ";
    lines.add(new Line("Rated", rated + number(plan.nominalMv()) + " V nominal"));
    lines.add(new Line("Charge", charge(plan)));
    lines.add(new Line("Cell limits", limits(plan)));
    lines.add(new Line("No charge", "below " + format(coldLimit(plan), 0) + " \u00b0C"));
    board(plan).ifPresent(text -> lines.add(new Line("Board", text)));
    fuse(plan).ifPresent(text -> lines.add(new Line("Fuse", text)));
    current(plan).ifPresent(text -> lines.add(new Line("Load", text)));
    units(plan, made).ifPresent(text -> lines.add(new Line("Units", text)));
    return new LabelFacts(
        plan.name(), measured.figure(), lines, measured.days(), plan.note(), made.day(made.atMs()));
  }

  /** The same as plain text, for a QR code; the note last, where a limit of length may cut it. */
  public String plainText() {
    StringBuilder text = new StringBuilder(name).append('\n');
    text.append("Capacity: " + capacity + "\n");
    lines.forEach(line -> text.append(line.name() + ": " + line.value() + "\n"));
    text.append(dated() + "\n" + Cautions.SHORT);
    if (!note.isEmpty()) {
      text.append("\nNote: " + note);
    }
    return text.toString();
  }

  /** When it was tested and when the label was made. */
  String dated() {
    return (tested.isEmpty() ? "" : "Tested " + tested + ". ") + "Label of " + made;
  }

  /** The same for scripts: each line by its name. */
  public Facts facts() {
    Facts.Builder facts = Facts.of().put("name", name).put("capacity", capacity);
    lines.forEach(line -> facts.put(key(line.name()), line.value()));
    return facts
        .put("tested", tested)
        .put("note", note)
        .put("made", made)
        .put("caution", Cautions.SHORT)
        .build();
  }

  private static String key(String name) {
    return name.toLowerCase(Locale.ROOT).replace(' ', '_');
  }

  /** When the latest charge that came to the top had levelled the cells, and who led before. */
  private static Optional<String> balanced(List<Finding> found, Made made) {
    return found.stream()
        .flatMap(finding -> finding.result(BalanceResult.class).stream())
        .reduce((earlier, later) -> later)
        .filter(balance -> balance.balancedAtMs().isPresent())
        .map(
            balance ->
                made.day(balance.balancedAtMs().getAsLong())
                    + balance.apart().map(LabelFacts::apart).orElse(""));
  }

  private static String apart(FullChargeResult.Apart apart) {
    return "; cell "
        + apart.cell()
        + " was "
        + (Double.isFinite(apart.ah().high())
            ? Spoken.number(apart.ah().mid(), 2)
            : "at least " + Spoken.low(apart.ah().low(), 2))
        + " Ah "
        + apart.is().word();
  }

  private static String charge(PackPlan plan) {
    int mv = plan.chargeMv();
    String volts = "to " + (mv % MV_PER_V == 0 ? format(mv / MV_PER_V, 1) : number(mv)) + " V";
    OptionalInt amps = plan.chargerMa();
    // What the charger gives, not what the pack may take: that nobody told.
    return amps.isPresent() ? volts + ", charger " + number(amps.getAsInt()) + " A" : volts;
  }

  private static String limits(PackPlan plan) {
    int low = plan.limits().cutOffLowMv();
    int high = plan.limits().cutOffHighMv();
    // Both with the same digits, two where these tell all.
    int decimals = low % MV_PER_CV == 0 && high % MV_PER_CV == 0 ? 2 : 3;
    return format(low / MV_PER_V, decimals) + " to " + format(high / MV_PER_V, decimals) + " V";
  }

  private static double coldLimit(PackPlan plan) {
    return Rules.defaults(plan).rule(ColdCharge.ID).number("limit_c");
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
