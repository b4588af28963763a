package org.cellherd.report.plot;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.scene.Ink;
import org.cellherd.report.scene.Pen;

/**
 * Capacity tests as lines of a plot.
 *
 * @param list the first is drawn first
 * @param cutOffV lowest voltage of a cell by the plan; NaN where tests differ in it or have none
 */
public record DischargeLines(List<Line> list, double cutOffV) {

  public DischargeLines {
    list = List.copyOf(list);
  }

  /**
   * One test.
   *
   * @param test with its curve
   * @param name with its pack where there are several
   * @param conditions such as {@code 20 Jun 2026, 5.4 A, 25 °C}
   * @param letter at its end and in the key; empty for an earlier test
   * @param pen how it is drawn
   */
  public record Line(TestedDischarge test, String name, String conditions, String letter, Pen pen) {

    /** True for an earlier test, told by grey alone. */
    public boolean isPale() {
      return letter.isEmpty();
    }

    /** In an earlier test the one line is enough. */
    boolean isCellDrawn() {
      return !isPale() && test.curve().limitingCell() > 0;
    }

    Pen cellPen() {
      return new Pen(pen.ink(), 1.1, Pen.Dash.DASHED);
    }

    /** What it came to. */
    String end() {
      return String.format(
          Locale.ROOT,
          test.ah().mid() < SMALL_AH ? "%.2f Ah, %.1f Wh%s" : "%.1f Ah, %.0f Wh%s",
          test.ah().mid(),
          test.wh(),
          cell());
    }

    private String cell() {
      int cell = test.curve().limitingCell();
      return cell > 0 ? "; cell " + cell + " ended it" : "";
    }

    private String sentence() {
      return String.format(
              Locale.ROOT,
              test.ah().mid() < SMALL_AH ? "%.2f Ah at %.1f A on %s" : "%.1f Ah at %.1f A on %s",
              test.ah().mid(),
              test.amps(),
              conditions.split(",", 2)[0])
          + (Double.isNaN(test.ratedAh()) ? "" : ", of a rated " + rated())
          + cell()
          + ".";
    }

    private String rated() {
      return Spoken.exactly(Math.round(test.ratedAh() * 1000), 3) + " Ah";
    }
  }

  /** Smaller packs are told of with another digit. */
  private static final double SMALL_AH = 10;

  static final DischargeLines NONE = new DischargeLines(List.of(), Double.NaN);

  /**
   * Tests of one pack: the newest, and the newest at another rate, as lines of their own; earlier
   * ones pale.
   */
  public static DischargeLines ofPack(List<TestedDischarge> tests, double cutOffV, ZoneId zone) {
    if (tests.isEmpty()) {
      return NONE;
    }
    Set<TestedDischarge> shown = new HashSet<>();
    TestedDischarge newest = tests.get(tests.size() - 1);
    shown.add(newest);
    for (int i = tests.size() - 1; i >= 0 && shown.size() < 2; i--) {
      if (tests.get(i).isAtAnotherRate(newest)) {
        shown.add(tests.get(i));
      }
    }
    List<Line> lines = new ArrayList<>();
    int number = 0;
    for (TestedDischarge test : tests) {
      boolean isShown = shown.contains(test);
      number += isShown ? 1 : 0;
      lines.add(line(test, "", conditions(test, zone), isShown ? number : 0));
    }
    return new DischargeLines(lines, cutOffV);
  }

  /** Any tests side by side, each with its pack's name. */
  public static DischargeLines sideBySide(
      List<TestedDischarge> tests, double cutOffV, ZoneId zone) {
    List<Line> lines = new ArrayList<>();
    for (int i = 0; i < tests.size(); i++) {
      TestedDischarge test = tests.get(i);
      lines.add(line(test, test.pack() + ", ", conditions(test, zone), i + 1));
    }
    return new DischargeLines(lines, cutOffV);
  }

  /** What the newest test came to; of two rates the lower one, as on the label. */
  public String sentence() {
    return list.stream()
        .filter(line -> !line.isPale())
        .min(Comparator.comparingDouble(line -> line.test().amps()))
        .map(Line::sentence)
        .orElse("");
  }

  /** True where some test's own line of the cell that ended it is drawn. */
  boolean hasCell() {
    return list.stream().anyMatch(Line::isCellDrawn);
  }

  /** The letter of a line by its number from 1: A to Z, then AA and so on. */
  public static String letter(int number) {
    String last = Character.toString('A' + (number - 1) % 26);
    return number <= 26 ? last : letter((number - 1) / 26) + last;
  }

  private static Line line(TestedDischarge test, String pack, String how, int number) {
    return number == 0
        ? new Line(test, pack + how, how, "", Pen.of(Ink.SOFT, 0.9))
        : new Line(test, pack + how, how, letter(number), Pen.line(number, 2));
  }

  private static String conditions(TestedDischarge test, ZoneId zone) {
    String day = test.fromMs() == 0 ? "" : SpokenTime.day(test.fromMs(), zone) + ", ";
    String warm = Double.isNaN(test.tempC()) ? "" : ", " + Spoken.number(test.tempC(), 0) + " °C";
    return day + String.format(Locale.ROOT, "%.1f A", test.amps()) + warm;
  }

  boolean hasCutOff() {
    return !Double.isNaN(cutOffV);
  }
}
