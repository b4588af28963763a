package org.cellherd.app.logged;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;

/** The curves of a pack's capacity tests, read anew from its log. */
public final class TestCurves {

  /** More lines than these are not told apart in one picture; the newest are drawn. */
  private static final int MOST = 8;

  private TestCurves() {}

  /**
   * Whole tests with their curves, oldest first.
   *
   * @param found findings of any kind, in the order of time
   */
  public static List<TestedDischarge> of(LogFile file, PackConfig pack, List<Finding> found)
      throws StorageFailure {
    List<Finding> tests =
        found.stream()
            .filter(f -> f.result(CapacityResult.class).filter(CapacityResult::isWhole).isPresent())
            .toList();
    PackConfig metered = Metered.of(file, pack);
    List<TestedDischarge> curves = new ArrayList<>();
    for (Finding test : tests.subList(Math.max(0, tests.size() - MOST), tests.size())) {
      LoggedCurve logged =
          new LoggedCurve(
              pack.plan(),
              metered.analysis(),
              test.result(CapacityResult.class).orElseThrow().conditions().limitingCell());
      file.history().replay(pack.plan().id(), test.fromMs(), test.toMs() + 1, logged::accept);
      logged
          .curve()
          .flatMap(c -> TestedDischarge.of(pack.plan().name(), pack.plan().ratedAh(), test, c))
          .ifPresent(curves::add);
    }
    return curves;
  }
}
