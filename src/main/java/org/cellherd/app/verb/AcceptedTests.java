package org.cellherd.app.verb;

import java.util.List;
import java.util.Set;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;

/** Capacity tests of a log that were not broken off. */
final class AcceptedTests {

  private AcceptedTests() {}

  /** Oldest first; none where there is no log. */
  static List<Finding> of(LogOptions log, PackConfig pack) throws StorageFailure {
    return of(Set.of(FindingName.CAPACITY), log, pack);
  }

  /** The same with where the balance stands. */
  static List<Finding> withBalance(LogOptions log, PackConfig pack) throws StorageFailure {
    return of(Set.of(FindingName.CAPACITY, FindingName.BALANCE), log, pack);
  }

  private static List<Finding> of(Set<FindingName> names, LogOptions log, PackConfig pack)
      throws StorageFailure {
    if (!log.isLogThere()) {
      return List.of();
    }
    try (LogFile file = log.openForReadingOfPack()) {
      List<Finding> tests = new LogAnalysis(file, pack).findings(names);
      log.notice(file);
      return tests.stream()
          .filter(f -> f.result(CapacityResult.class).map(CapacityResult::isWhole).orElse(true))
          .toList();
    }
  }
}
