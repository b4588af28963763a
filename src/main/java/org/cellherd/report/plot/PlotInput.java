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
 * @param balancedMv distance from the median that counts as balanced
 * @param findings what is drawn beside readings
 */
public record PlotInput(
    Tracks tracks,
    ZoneId zone,
    List<PlotMark> marks,
    List<Gap> gaps,
    List<LimitLine> limits,
    double balancedMv,
    PlotFindings findings) {
  /** Copies the lists. */
  public PlotInput {
    marks = List.copyOf(marks);
    gaps = List.copyOf(gaps);
    limits = List.copyOf(limits);
  }
}
