package org.cellherd.alert.rule;

import java.util.Map;
import java.util.TreeMap;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** One rule over entries, beside the real analyses and without delays: what it sees by itself. */
final class JudgedRule {
  private final PackPlan plan;
  private final AlertSettings settings;
  private final RuleId id;
  private final RuleInput input;
  private final PackAnalysis analysis;
  private Rule rule;
  private long firstMs = -1;

  JudgedRule(PackPlan plan, AlertSettings settings, RuleId id) {
    this.plan = plan;
    this.settings = settings;
    this.id = id;
    rule = made();
    input = new RuleInput(plan, settings);
    analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
  }

  /** What is said of each cell, or of the pack under 0; nothing where nothing is said. */
  Map<Integer, Judgement> judge(LogEntry entry) {
    firstMs = firstMs < 0 ? entry.timeMs() : firstMs;
    analysis.accept(entry);
    input.take(entry, analysis, entry.timeMs() - firstMs);
    Map<Integer, Judgement> said = new TreeMap<>();
    rule.watch(input);
    rule.judge(input, said::put);
    return said;
  }

  /** A restart: what the rule remembers comes back, and nothing else of it. */
  void restart() {
    SavedState saved = SavedState.of(rule::state);
    rule = made();
    saved.into(rule::state);
  }

  private Rule made() {
    return Rules.of(plan, settings).stream()
        .filter(each -> each.terms().id().equals(id))
        .findFirst()
        .orElseThrow();
  }

  /** What the analyses know. */
  PackView view() {
    return analysis;
  }

  /** The entry's judgement of a cell, or of the pack under 0, which must be made. */
  Judgement of(int cell, LogEntry entry) {
    Judgement said = judge(entry).get(cell);
    if (said == null) {
      throw new AssertionError("nothing said of " + cell + " at " + entry);
    }
    return said;
  }
}
