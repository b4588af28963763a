package org.cellherd.analysis;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.balance.KneeRate;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** All folds of one pack between two changes of it. */
final class Era {
  final Moment moment;
  final KneeRate rate;
  private final List<FindingFold> folds = new ArrayList<>();

  Era(PackPlan plan, AnalysisSettings settings, List<FoldMaker> makers) {
    moment = new Moment(plan, settings);
    rate = new KneeRate(plan.series());
    for (FoldMaker maker : makers) {
      folds.add(maker.make(plan, settings, moment));
    }
  }

  void accept(LogEntry entry, List<Finding> completed) {
    moment.accept(entry);
    rate.accept(moment);
    for (FindingFold fold : folds) {
      fold.accept(entry);
      share(fold.drainCompleted(), completed);
    }
  }

  private void share(List<Finding> found, List<Finding> completed) {
    for (Finding finding : found) {
      completed.add(finding);
      for (FindingFold fold : folds) {
        fold.hear(finding);
      }
    }
  }

  void end(List<Finding> completed) {
    for (FindingFold fold : folds) {
      fold.end();
      completed.addAll(fold.drainCompleted());
    }
  }

  List<Finding> standing() {
    List<Finding> standing = new ArrayList<>();
    for (FindingFold fold : folds) {
      fold.standing().ifPresent(standing::add);
    }
    return standing;
  }

  void save(StateWriter out) {
    moment.save(out);
    rate.save(out);
    for (FindingFold fold : folds) {
      fold.save(out);
    }
  }

  void restore(StateReader in) {
    moment.restore(in);
    rate.restore(in);
    for (FindingFold fold : folds) {
      fold.restore(in);
    }
  }
}
