package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.analysis.result.SocResult;

/**
 * Findings that are drawn, each in the order of time.
 *
 * @param days energy of each day; the first instant of a new one is none yet
 * @param soc state of charge as the log knows it
 * @param season leads and resistances of months
 * @param tests capacity tests with their curves
 */
public record PlotFindings(
    List<Day> days, List<Soc> soc, SeasonFindings season, List<TestedDischarge> tests) {

  /**
   * One day.
   *
   * @param fromMs its begin, ms UTC
   * @param toMs its end
   * @param chargedWh what went in
   * @param dischargedWh what came out
   * @param lowPct lowest state of charge; NaN when not known
   * @param highPct highest
   * @param coveragePct share of it that was heard; NaN when not known
   */
  public record Day(
      long fromMs,
      long toMs,
      Interval chargedWh,
      Interval dischargedWh,
      double lowPct,
      double highPct,
      double coveragePct) {

    /** Below this what is missing may exceed the errors of common current sensors, some percent. */
    private static final double WHOLE_PCT = 97;

    /** Shorter than any local day, also where clocks are set forward. */
    private static final long LEAST_MS = TimeUnit.HOURS.toMillis(22);

    /** True where a part of the day is missing that counts, also because it is not over. */
    public boolean isPartlyHeard() {
      return coveragePct < WHOLE_PCT || toMs - fromMs < LEAST_MS;
    }

    boolean isRangeKnown() {
      return !Double.isNaN(lowPct) && !Double.isNaN(highPct);
    }
  }

  /** At a time, ms UTC, between two bounds, percent. */
  public record Soc(long atMs, double low, double high) {}

  public PlotFindings {
    days = List.copyOf(days);
    soc = List.copyOf(soc);
    tests = List.copyOf(tests);
  }

  public PlotFindings with(List<TestedDischarge> curves) {
    return new PlotFindings(days, soc, season, curves);
  }

  /** Those of a report's findings, which are in the order of their end. */
  public static PlotFindings of(List<Finding> findings) {
    List<Day> days = new ArrayList<>();
    List<Soc> soc = new ArrayList<>();
    for (Finding finding : findings) {
      if (finding.result() instanceof EnergyResult day && finding.toMs() > finding.fromMs()) {
        days.add(
            new Day(
                finding.fromMs(),
                finding.toMs(),
                day.chargedWh(),
                day.dischargedWh(),
                day.socMinPct(),
                day.socMaxPct(),
                day.coveragePct()));
      } else if (finding.result() instanceof SocResult known) {
        Interval pct = known.socPct();
        if (Double.isFinite(pct.low()) && Double.isFinite(pct.high())) {
          soc.add(new Soc(finding.toMs(), pct.low(), pct.high()));
        }
      }
    }
    return new PlotFindings(days, soc, SeasonFindings.of(findings), List.of());
  }
}
