package org.cellherd.analysis.plausible;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.PlausibilityResult;
import org.cellherd.analysis.result.PlausibilityResult.Suspected;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** All checks of the readings themselves. Belongs to one thread. */
public final class PlausibilityFold implements FindingFold {
  private static final Fold.Kind KIND = Fold.Kind.of(FindingName.PLAUSIBILITY, 6);
  private final Moment moment;
  private final SumCheck sum;
  private final CurrentCheck current;
  private final List<Check> checks;
  private Supplier<List<Suspicion>> others = List::of;

  public PlausibilityFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.moment = moment;
    sum = new SumCheck(plan.ratedAh());
    current = new CurrentCheck(plan.ratedAh(), settings);
    checks =
        List.of(
            new TapOrderCheck(plan.limits().nominalMv()),
            new OpenInputCheck(sum),
            sum,
            new LooseTapCheck(plan.series(), settings.kneeMv(), settings.lowKneeMv()),
            current,
            new RepeatCheck(plan.series()),
            new ThermistorCheck(plan));
  }

  /**
   * True when the cells of a single reading and its pack differ by more than error and path
   * explain, so that the one or the other is read wrongly. False where either is not told.
   */
  public static boolean isSumDoubtful(Reading reading) {
    return SumCheck.isOff(reading);
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    if (entry instanceof Reading reading) {
      for (Check check : checks) {
        check.accept(moment, reading);
      }
    }
  }

  /** In place of {@link #accept}, where only {@link #currentSign} is asked for. */
  public void acceptForSign(LogEntry entry) {
    if (entry instanceof Reading reading) {
      current.accept(moment, reading);
    }
  }

  /** Also tells what another fold suspects, after its own. */
  public void alsoTell(Supplier<List<Suspicion>> what) {
    others = what;
  }

  /** What is suspected now, worst first. */
  public List<Suspicion> suspicions() {
    List<Suspicion> found = new ArrayList<>();
    if (moment.reading().isPresent()) {
      for (Check check : checks) {
        check.suspicion(moment).ifPresent(found::add);
      }
    }
    boolean isSwapped = !found.isEmpty() && found.get(0).kind() == Suspicion.Kind.SWAPPED_TAPS;
    found.removeIf(s -> isSwapped && s.kind() == Suspicion.Kind.OPEN_INPUT);
    found.addAll(others.get());
    return found;
  }

  /** Whether charging is really printed positive. */
  public SignState currentSign() {
    return current.sign();
  }

  @Override
  public Optional<Finding> standing() {
    if (moment.reading().isEmpty()) {
      return Optional.empty();
    }
    List<Suspicion> found = suspicions();
    List<Suspected> list = new ArrayList<>();
    long since = moment.wallMs(moment.upMs());
    for (Suspicion s : found) {
      since = Math.min(since, s.sinceMs());
      list.add(
          new Suspected(s.kind(), s.cells(), s.sinceMs(), s.likelyCause(), s.lookAt(), s.facts()));
    }
    PlausibilityResult result = new PlausibilityResult(list, currentSign(), sum.pathMohm());
    return Optional.of(new Finding(since, moment.wallMs(moment.upMs()), result, say(found)));
  }

  private String say(List<Suspicion> found) {
    String sign =
        switch (currentSign()) {
          case UNCONFIRMED -> " The sign of the current is not confirmed yet.";
          case CONFIRMED, INVERTED -> "";
        };
    if (found.isEmpty()) {
      return "Nothing in the readings looks impossible." + sign;
    }
    Suspicion worst = found.get(0);
    return "Doubtful readings: " + worst.likelyCause() + "; look at " + worst.lookAt() + "." + sign;
  }

  @Override
  public void state(State io) {
    for (Check check : checks) {
      check.state(io);
    }
  }
}
