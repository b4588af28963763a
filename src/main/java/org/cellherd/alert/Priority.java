package org.cellherd.alert;

import java.util.Optional;
import org.cellherd.pack.Worded;

/** How bad; the first is the worst. */
public enum Priority implements Worded {
  /** May damage cells or worse soon. Repeated until acknowledged or over; never held back. */
  CRITICAL,
  /** Wants a person within a day. */
  WARNING,
  /** Good to know. */
  NOTE;

  /** The priority of a word, or empty. */
  public static Optional<Priority> ofWord(String word) {
    return Worded.find(values(), word);
  }
}
