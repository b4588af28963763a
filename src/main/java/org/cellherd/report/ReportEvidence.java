package org.cellherd.report;

import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Gap;

/**
 * What is known about the time of a report beside its readings.
 *
 * @param findings oldest first
 * @param alerts in the order of their raising
 * @param remarks in the order of their time
 * @param gaps stretches without readings
 * @param isWatched whether alerts were judged at all: of what was imported they are not
 * @param tests capacity tests with their curves, earlier ones too; none where none ended in the
 *     time
 */
public record ReportEvidence(
    List<Finding> findings,
    List<AlertSpan> alerts,
    List<Remark> remarks,
    List<Gap> gaps,
    boolean isWatched,
    List<TestedDischarge> tests) {

  public static final ReportEvidence NONE =
      new ReportEvidence(List.of(), List.of(), List.of(), List.of(), true, List.of());

  public ReportEvidence {
    findings = List.copyOf(findings);
    alerts = List.copyOf(alerts);
    remarks = List.copyOf(remarks);
    gaps = List.copyOf(gaps);
    tests = List.copyOf(tests);
  }

  /** What is said where no alert is. */
  String noAlert() {
    return isWatched
        ? "No alert was raised."
        : "No alert is in the log; those of imported readings are judged by \"cellherd import"
            + " --judge\" alone.";
  }

  /** How many alerts there are, in a word where there is none. */
  String countedAlerts() {
    return !alerts.isEmpty()
        ? Integer.toString(alerts.size())
        : isWatched ? "none" : "not in the log";
  }
}
