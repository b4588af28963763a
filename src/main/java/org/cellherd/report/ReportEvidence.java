package org.cellherd.report;

import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Gap;

/**
 * What is known about the time of a report beside its readings.
 *
 * @param findings oldest first
 * @param alerts in the order of their raising
 * @param remarks in the order of their time
 * @param gaps stretches without readings
 * @param isWatched whether alerts were judged at all: of what was imported they are not
 */
public record ReportEvidence(
    List<Finding> findings,
    List<AlertSpan> alerts,
    List<Remark> remarks,
    List<Gap> gaps,
    boolean isWatched) {

  /** Nothing. */
  public static final ReportEvidence NONE =
      new ReportEvidence(List.of(), List.of(), List.of(), List.of(), true);

  /** Copies the lists. */
  public ReportEvidence {
    findings = List.copyOf(findings);
    alerts = List.copyOf(alerts);
    remarks = List.copyOf(remarks);
    gaps = List.copyOf(gaps);
  }

  /** What is said where no alert is. */
  String noAlert() {
    return isWatched
        ? "No alert was raised."
        : "No alerts were judged: these readings were imported.";
  }
}
