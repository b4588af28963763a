package org.cellherd.analysis;

import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * A result with its evidence.
 *
 * @param name what kind
 * @param fromMs start of the stretch of log it rests on, ms UTC
 * @param toMs its end
 * @param facts the numbers, keys as in the JSON of the verb of the same name
 * @param sentence the same for people, plain, one or two sentences
 */
public record Finding(FindingName name, long fromMs, long toMs, Facts facts, String sentence) {

  /** Nothing found, to restore into. */
  public static final Finding NONE = new Finding(FindingName.CAPACITY, 0, 0, Facts.NONE, "");

  /** The same as part of a state. */
  public Finding state(State io) {
    return new Finding(
        io.constant(name), io.number(fromMs), io.number(toMs), io.facts(facts), io.text(sentence));
  }
}
