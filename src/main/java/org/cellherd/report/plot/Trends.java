package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.IntFunction;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Spoken;

/** What months of findings say, as lines over time. */
final class Trends {

  private final Map<Integer, List<Trend.Point>> byNumber = new TreeMap<>();

  private Trends() {}

  /**
   * Each cell's lead at each full charge. A lead is counted from the last cell; here it is moved so
   * that zero is the middle cell: where one falls behind, one line falls, instead of all others
   * rising. The bounds keep their distance from the best value.
   */
  static List<Trend> leads(SeasonFindings season) {
    Trends trends = new Trends();
    for (FullChargeResult full : season.charges()) {
      if (full.lead().stream().anyMatch(l -> Double.isInfinite(l.ah().high()))) {
        continue;
      }
      double middle = Medians.median(full.lead().stream().mapToDouble(l -> l.ah().mid()).toArray());
      full.lead()
          .forEach(l -> trends.add(l.cell(), full.atMs(), l.ah().plus(Interval.exactly(-middle))));
    }
    List<Trend> cells = trends.ofCells();
    double middle = Trend.middle(cells);
    return Trend.standOut(cells, cell -> cell.isSurelyOff(middle));
  }

  /** Each cell's resistance; brought to 25 degC where all findings tell by how much. */
  static List<Trend> resistances(SeasonFindings season) {
    boolean isBrought = season.isBroughtTo25c();
    Trends trends = new Trends();
    for (SeasonFindings.Resistance known : season.resistances()) {
      ResistanceResult found = known.found();
      double factor = isBrought ? found.at25cMohm().orElseThrow().mid() / found.medianMohm() : 1;
      found.cells().forEach(c -> trends.add(c.cell(), known.atMs(), c.mohm().times(factor)));
    }
    return Trend.standOut(trends.ofCells(), cell -> season.isSuspect(cell.number()));
  }

  /** Capacity by tests; tests at two rates are two lines. */
  static List<Trend> capacities(List<TestedDischarge> tests, long fromMs, long toMs) {
    List<TestedDischarge> inTime =
        tests.stream().filter(t -> t.fromMs() >= fromMs && t.fromMs() < toMs).toList();
    Trends trends = new Trends();
    List<Double> rates = new ArrayList<>();
    for (TestedDischarge test : inTime) {
      int rate = 0;
      while (rate < rates.size() && areTwo(rates.get(rate), test.amps())) {
        rate++;
      }
      if (rate == rates.size()) {
        rates.add(test.amps());
      }
      trends.add(rate + 1, test.fromMs(), test.ah());
    }
    return trends.named(number -> amps(rates.get(number - 1)));
  }

  /** "20 A", "5.4 A". */
  private static String amps(double rate) {
    return Spoken.number(rate, rate < 9.95 ? 1 : 0) + " A";
  }

  private static boolean areTwo(double amps, double other) {
    return Math.max(amps, other) > TestedDischarge.TWO_RATES * Math.min(amps, other);
  }

  private void add(int number, long atMs, Interval value) {
    byNumber.computeIfAbsent(number, n -> new ArrayList<>()).add(new Trend.Point(atMs, value));
  }

  private List<Trend> ofCells() {
    return named(number -> Integer.toString(number));
  }

  private List<Trend> named(IntFunction<String> name) {
    List<Trend> all = new ArrayList<>();
    byNumber.forEach(
        (number, points) -> all.add(new Trend(number, name.apply(number), true, points)));
    return all;
  }
}
