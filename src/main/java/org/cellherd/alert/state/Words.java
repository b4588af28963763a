package org.cellherd.alert.state;

import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * What a rule says of a condition that holds.
 *
 * @param what which cell and how bad, a clause without verb and full stop
 * @param ahead what will happen if nothing changes, whole sentences, or empty: said only while the
 *     latest reading shows it
 * @param more what else to know, whole sentences, or empty
 * @param firstStep what to do first, a whole sentence
 * @param evidence the numbers behind it
 */
public record Words(String what, String ahead, String more, String firstStep, Facts evidence) {

  public static final Words NONE = new Words("", "", "", "", Facts.NONE);

  /** Words that look at nothing ahead. */
  public Words(String what, String more, String firstStep, Facts evidence) {
    this(what, "", more, firstStep, evidence);
  }

  /** Words with nothing more to know. */
  public static Words of(String what, String firstStep, Facts evidence) {
    return new Words(what, "", "", firstStep, evidence);
  }

  /** Words with a look ahead and nothing more to know. */
  public static Words ahead(String what, String ahead, String firstStep, Facts evidence) {
    return new Words(what, ahead, "", firstStep, evidence);
  }

  /** What was saved for these words. */
  public Words state(State io) {
    return new Words(
        io.text(what), io.text(ahead), io.text(more), io.text(firstStep), io.facts(evidence));
  }
}
