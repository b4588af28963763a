package org.cellherd.alert.rule;

import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * A condition that the program reports, because no log entry shows it. Nothing is judged before the
 * first report of a run.
 */
public abstract class Reported extends Rule {
  private boolean known;
  private boolean holds;
  private Words words = Words.NONE;

  Reported(RuleSettings set) {
    super(Terms.plain(set, ""));
  }

  /** The same on terms of its own. */
  Reported(Terms terms) {
    super(terms);
  }

  final void report(boolean nowHolds, String what, String firstStep) {
    known = true;
    holds = nowHolds;
    words = Words.of(what, firstStep, Facts.NONE);
  }

  /** A new run knows nothing yet. */
  public final void forget() {
    known = false;
  }

  @Override
  public final void judge(RuleInput input, Verdicts out) {
    judge(out);
  }

  /** Judges without an entry. */
  public final void judge(Verdicts out) {
    if (known) {
      out.judge(0, Judgement.when(holds ? 1 : 0, () -> words));
    }
  }

  @Override
  public final void state(State io) {
    known = io.flag(known);
    holds = io.flag(holds);
    words = words.state(io);
  }
}
