package org.cellherd.report.plot;

import java.time.ZoneId;
import java.util.List;
import org.cellherd.pack.Gap;

/**
 * What plots are made from.
 *
 * @param tracks the quantities
 * @param zone local time of the pack's owner
 * @param marks what happened
 * @param gaps stretches without readings
 * @param limits levels to draw
 * @param balanced in which the cells of a balanced pack lie
 * @param findings what is drawn beside readings
 * @param sensors what each temperature sensor touches, the first first
 */
public record PlotInput(
    Tracks tracks,
    ZoneId zone,
    List<Mark> marks,
    List<Gap> gaps,
    List<LimitLine> limits,
    BalancedBand balanced,
    PlotFindings findings,
    List<String> sensors) {
  public PlotInput {
    marks = List.copyOf(marks);
    gaps = List.copyOf(gaps);
    limits = List.copyOf(limits);
    sensors = List.copyOf(sensors);
  }

  /** The same for a plot that stands alone: without marks, whose list is elsewhere. */
  public PlotInput alone() {
    return new PlotInput(tracks, zone, List.of(), gaps, limits, balanced, findings, sensors);
  }

  /**
   * Something that happened, marked on every plot.
   *
   * @param atMs when, ms UTC
   * @param symbol one to three characters
   * @param kind how it is drawn
   * @param href where a click leads
   * @param name what it is, for those who do not see it
   */
  public record Mark(long atMs, String symbol, Kind kind, String href, String name) {

    /** How a mark is drawn: each differs in shape, not only in colour. */
    public enum Kind {
      /** White on a filled box. */
      CRITICAL,
      /** In a box. */
      WARNING,
      /** Underlined. */
      NOTE,
      /** An owner's remark, below the plot. */
      REMARK
    }
  }
}
