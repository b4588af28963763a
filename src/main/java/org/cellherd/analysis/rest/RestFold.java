package org.cellherd.analysis.rest;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.ChargeEnd;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Finds rests of a day and longer, discards the hours in which cells still relax, and measures how
 * each cell drifts from the median. A rest goes on over gaps of some hours when nothing moved.
 */
public final class RestFold implements FindingFold {
  private static final Fold.Kind KIND = Fold.Kind.of(FindingName.REST, 5);
  private static final long HOUR_MS = HourBlock.HOUR_MS;
  private static final long LEAST_MS = 24 * HOUR_MS;

  /** Relaxation to discard: 3 h suffice for LFP and NMC (Theuerkauf and Swan, Batteries 2022). */
  private static final long RELAX_MS = 3 * HOUR_MS;

  /** After a full charge LFP still moves for a day (Voicila et al., Batteries 2025). */
  private static final long RELAX_FROM_FULL_MS = 24 * HOUR_MS;

  private static final long MOST_GAP_MS = 6 * HOUR_MS;
  private static final int MOST_MOVED = 50;

  private final Moment moment;
  private final RestReport report;
  private final Rest rest;
  private final Completed completed = new Completed();
  private Optional<Finding> latest = Optional.empty();
  private Optional<Finding> live = Optional.empty();
  private long liveKey = -1;
  private long earliestUpMs;
  private boolean isResting;
  private long lastUpMs;
  private int lastMedian;

  public RestFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.moment = moment;
    rest = new Rest(plan.series(), moment);
    report = new RestReport(plan, moment);
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    if (!(entry instanceof Reading reading) || !moment.isComplete()) {
      return;
    }
    boolean isQuiet = moment.flowingMa() == 0 && moment.phase() != Phase.HOLD;
    if (isResting && (!isQuiet || hasMovedUnheard())) {
      finish();
      earliestUpMs = moment.readingUpMs();
    }
    if (!isResting && isQuiet && moment.phase() == Phase.REST) {
      begin();
    }
    if (isResting) {
      rest.add(reading);
      lastUpMs = moment.readingUpMs();
      lastMedian = moment.median();
    }
  }

  private boolean hasMovedUnheard() {
    long passed = moment.readingUpMs() - lastUpMs;
    boolean isLong = passed > MOST_GAP_MS;
    boolean isGap = moment.step() == Moment.Step.GAP || moment.step() == Moment.Step.NONE;
    return isLong || (isGap && Math.abs(moment.median() - lastMedian) > MOST_MOVED);
  }

  private void begin() {
    isResting = true;
    long startUpMs = Math.max(earliestUpMs, moment.readingUpMs() - moment.quietMs());
    ChargeEnd top = moment.chargeEnd();
    boolean isFromFull =
        top.kind() != ChargeTermination.NONE && startUpMs - top.topUpMs() < RELAX_FROM_FULL_MS / 2;
    rest.begin(startUpMs, isFromFull ? RELAX_FROM_FULL_MS : RELAX_MS);
    liveKey = -1;
  }

  private void finish() {
    isResting = false;
    if (rest.lengthMs() >= LEAST_MS) {
      Finding finding = report.of(rest, rest.lastUpMs());
      latest = Optional.of(finding);
      completed.add(finding);
    }
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  /** The rest under way as of its last full hour, once it is a day old; else the latest one. */
  @Override
  public Optional<Finding> standing() {
    if (!isResting || rest.measuredUpMs() - rest.startUpMs() < LEAST_MS) {
      return latest;
    }
    long key = rest.key();
    if (liveKey != key) {
      liveKey = key;
      live = Optional.of(report.of(rest, rest.measuredUpMs()));
    }
    return live;
  }

  @Override
  public void end() {
    if (isResting) {
      finish();
    }
  }

  @Override
  public void state(State io) {
    rest.state(io);
    latest = io.optional(latest, ResultForm.NONE, ResultForm::state);
    earliestUpMs = io.number(earliestUpMs);
    isResting = io.flag(isResting);
    lastUpMs = io.number(lastUpMs);
    lastMedian = io.number(lastMedian);
  }
}
