package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.LogStretch;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.pack.Gap;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.Made;
import org.cellherd.report.ReportInput;
import org.cellherd.report.plot.BalancedBand;
import org.cellherd.report.plot.Tracks;
import org.cellherd.store.LogFile;

/** Gathers what a report is made from: single readings of some days, statistics of more. */
final class ReportData {

  /** Drawn over time: what stood before it came to what it is counts, too. */
  private static final Set<FindingName> DRAWN = EnumSet.of(FindingName.SOC, FindingName.RESISTANCE);

  private final LogFile file;
  private final PackConfig pack;
  private final long fromMs;
  private final long toMs;

  ReportData(LogFile file, PackConfig pack, long fromMs, long toMs) {
    this.file = file;
    this.pack = pack;
    this.fromMs = fromMs;
    this.toMs = toMs;
  }

  ReportInput gather(Made made) throws StorageFailure {
    LogStretch stretch = new LogStretch(file, pack.plan(), fromMs, toMs);
    List<Gap> gaps = new ArrayList<>();
    Tracks tracks = stretch.tracks(gaps);
    List<Finding> found = findings();
    ReportInput.Evidence evidence =
        new ReportInput.Evidence(
            told(found),
            stretch.alerts(),
            stretch.remarks(),
            gaps,
            stretch.isWatched(),
            tests(found));
    return new ReportInput(
        pack.plan(), tracks, evidence, made, pack.alerts(), BalancedBand.of(pack.analysis()));
  }

  /**
   * Of many days only those whose readings all lie in the report, so that every sum is of the same
   * readings. Of a few days the one begun before is told too.
   */
  private List<Finding> told(List<Finding> found) throws StorageFailure {
    boolean isCut =
        ReportInput.isOfManyDays(fromMs, toMs)
            && file.oldestMs(pack.plan().id()).orElse(fromMs) < fromMs;
    return found.stream()
        .filter(f -> f.toMs() > fromMs)
        .filter(f -> !isCut || f.name() != FindingName.ENERGY || f.fromMs() >= fromMs)
        .toList();
  }

  private List<Finding> findings() throws StorageFailure {
    LogAnalysis.Answer answer =
        new LogAnalysis(file, pack)
            .answer(EnumSet.allOf(FindingName.class), OptionalLong.empty(), OptionalLong.of(toMs));
    Set<Finding> newest = Set.copyOf(answer.findings());
    return answer.overTime().stream()
        .filter(f -> newest.contains(f) || DRAWN.contains(f.name()))
        .toList();
  }

  /** Earlier ones are drawn beside a test of the time; without one of the time none is. */
  private List<TestedDischarge> tests(List<Finding> found) throws StorageFailure {
    boolean isAny =
        found.stream()
            .anyMatch(
                f ->
                    f.toMs() > fromMs
                        && f.result(CapacityResult.class)
                            .filter(CapacityResult::isWhole)
                            .isPresent());
    return isAny ? TestCurves.of(file, pack, found) : List.of();
  }
}
