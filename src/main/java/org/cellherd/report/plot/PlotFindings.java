package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.discharge.TestedDischarge;

/**
 * Findings that are drawn, each in the order of time.
 *
 * @param days energy of each day; the first instant of a new one is none yet
 * @param soc state of charge as the log knows it
 * @param tests capacity tests with their curves
 */
public record PlotFindings(List<Day> days, List<Soc> soc, List<TestedDischarge> tests) {

  /** Nothing found. */
  public static final PlotFindings NONE = new PlotFindings(List.of(), List.of(), List.of());

  /** Energy between two times, ms UTC, in and out in Wh. */
  public record Day(long fromMs, long toMs, double chargedWh, double dischargedWh) {}

  /** At a time, ms UTC, between two bounds, percent. */
  public record Soc(long atMs, double low, double high) {}

  /** Copies the lists. */
  public PlotFindings {
    days = List.copyOf(days);
    soc = List.copyOf(soc);
    tests = List.copyOf(tests);
  }

  /** The same with capacity tests. */
  public PlotFindings with(List<TestedDischarge> curves) {
    return new PlotFindings(days, soc, curves);
  }

  /** Those of a report's findings, which are in the order of their end. */
  public static PlotFindings of(List<Finding> findings) {
    List<Day> days = new ArrayList<>();
    List<Soc> soc = new ArrayList<>();
    for (Finding finding : findings) {
      if (finding.name() == FindingName.ENERGY && finding.toMs() > finding.fromMs()) {
        days.add(
            new Day(
                finding.fromMs(),
                finding.toMs(),
                finding.facts().number("charged_wh").orElse(0),
                finding.facts().number("discharged_wh").orElse(0)));
      } else if (finding.name() == FindingName.SOC) {
        OptionalDouble low = finding.facts().number("soc_pct_low");
        OptionalDouble high = finding.facts().number("soc_pct_high");
        if (low.isPresent() && high.isPresent()) {
          soc.add(new Soc(finding.toMs(), low.getAsDouble(), high.getAsDouble()));
        }
      }
    }
    return new PlotFindings(days, soc, List.of());
  }
}
