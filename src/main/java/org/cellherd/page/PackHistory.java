package org.cellherd.page;

import java.util.List;
import java.util.OptionalLong;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Gap;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.Tracks;

/** The log as the page sees it: read-only, on a connection of its own, from any thread. */
@FunctionalInterface
public interface PackHistory {

  /** What is known of a pack with {@code fromMs <= time < toMs}. */
  Stretch read(String pack, long fromMs, long toMs) throws StorageFailure;

  /** Capacity tests of a pack with their curves, oldest first. */
  default List<TestedDischarge> tests(String pack) throws StorageFailure {
    return List.of();
  }

  /**
   * A stretch of a pack's log.
   *
   * @param tracks readings, or statistics of them, in equal columns
   * @param gaps stretches without readings, as far as the log names them
   * @param alerts in the order of their raising
   * @param remarks what people noted
   * @param beganMs when the log of the pack began, ms UTC: before that nothing was silent
   * @param told what the charge of that time came to, in a sentence; may be empty
   */
  record Stretch(
      Tracks tracks,
      List<Gap> gaps,
      List<AlertSpan> alerts,
      List<Remark> remarks,
      OptionalLong beganMs,
      String told) {
    public Stretch {
      gaps = List.copyOf(gaps);
      alerts = List.copyOf(alerts);
      remarks = List.copyOf(remarks);
    }
  }
}
