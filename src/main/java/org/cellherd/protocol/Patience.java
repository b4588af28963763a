package org.cellherd.protocol;

import java.util.OptionalInt;

/**
 * What a board's description states of its pace. Immutable.
 *
 * @param answerWithinMs longest time from a question to the first byte of its answer; empty where
 *     none is stated
 * @param quietAfterMissMs how long nothing is sent on the line after a question that this board did
 *     not answer as it should, 0 to 60,000
 */
public record Patience(OptionalInt answerWithinMs, int quietAfterMissMs) {
  /** Nothing is stated. */
  public static final Patience UNSTATED = new Patience(OptionalInt.empty(), 0);
}
