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
    List<PlotMark> marks,
    List<Gap> gaps,
    List<LimitLine> limits,
    BalancedBand balanced,
    PlotFindings findings,
    List<String> sensors) {
  /** Copies the lists. */
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
}
