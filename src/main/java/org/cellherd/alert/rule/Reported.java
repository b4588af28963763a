package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * A condition that the program reports, because no log entry shows it: the store fails, another
 * board answers. Nothing is judged before the first report of a run.
 */
public final class Reported implements Rule {
  private final Terms terms;
  private boolean known;
  private boolean holds;
  private Words words = Words.NONE;

  /** A condition that nobody reported yet. */
  public Reported(RuleSettings set) {
    terms = Terms.plain(set, "");
  }

  @Override
  public Terms terms() {
    return terms;
  }

  /** The condition as it is from now on. */
  public void report(boolean nowHolds, String what, String firstStep) {
    known = true;
    holds = nowHolds;
    words = Words.of(what, firstStep, Facts.NONE);
  }

  /** A new run knows nothing yet. */
  public void forget() {
    known = false;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    judge(out);
  }

  /** Judges without an entry. */
  public void judge(Verdicts out) {
    if (known) {
      out.judge(0, Judgement.when(holds ? 1 : 0, () -> words));
    }
  }

  @Override
  public void state(State io) {
    known = io.flag(known);
    holds = io.flag(holds);
    words = words.state(io);
  }
}
