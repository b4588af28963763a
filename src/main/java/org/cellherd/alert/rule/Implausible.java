package org.cellherd.alert.rule;

import java.util.List;
import java.util.stream.Collectors;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.Suspicion;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;

/**
 * The readings cannot be true: one alert that names the worst reason and lists the others. A value
 * that came once is doubted and told of, but wakes nobody.
 */
final class Implausible extends Rule {
  static final RuleId ID = new RuleId("implausible");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "wiring or a sensor is in doubt; critical for swapped taps and a stuck cell at the top.",
          Implausible::defaults,
          Implausible::new);

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL).delays(60, 600).repeatedAfter(24);
  }

  Implausible(RuleSettings set) {
    super(Terms.liveWithWarning(set, "").judgedEvery(5_000));
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.fresh().isEmpty()) {
      return;
    }
    List<Suspicion> told = input.view().suspicions();
    if (told.isEmpty()) {
      out.judge(0, Judgement.fine());
      return;
    }
    List<Suspicion> all = told.stream().filter(s -> s.kind() != Suspicion.Kind.LONE_VALUE).toList();
    boolean isBad = all.stream().anyMatch(s -> isBad(s, input));
    int level = all.isEmpty() ? 0 : isBad ? 2 : 1;
    out.judge(0, Judgement.when(level, () -> words(all)));
  }

  /** Swapped taps, and a cell that nobody sees while it may be running away. */
  private static boolean isBad(Suspicion suspicion, RuleInput input) {
    return suspicion.kind() == Suspicion.Kind.SWAPPED_TAPS
        || (suspicion.kind() == Suspicion.Kind.STUCK_CELL && input.isAtTop() && input.isCharging());
  }

  private static Words words(List<Suspicion> all) {
    Suspicion worst = all.get(0);
    String others =
        all.stream().skip(1).map(s -> s.kind().word()).distinct().collect(Collectors.joining(", "));
    boolean isSwapped = worst.kind() == Suspicion.Kind.SWAPPED_TAPS;
    return new Words(
        (worst.kind() == Suspicion.Kind.DEAD_CELL
                ? "A cell is dead or shorted: "
                : "Readings in doubt: ")
            + worst.likelyCause(),
        others.isEmpty() ? "" : "Also in doubt: " + others + ".",
        (isSwapped ? "Switch the pack off. " : "") + "Look at " + worst.lookAt() + ".",
        Facts.of()
            .put("kind", worst.kind().word())
            .put("cells", worst.cells())
            .putTime("in_doubt_since", worst.sinceMs())
            .put("details", worst.facts())
            .build());
  }
}
