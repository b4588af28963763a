package org.cellherd.alert;

import java.util.Locale;
import java.util.Optional;

/** How bad; the first is the worst. */
public enum Priority {
  /** May damage cells or worse soon. Repeated until acknowledged or over; never held back. */
  CRITICAL,
  /** Wants a person within a day. */
  WARNING,
  /** Good to know. */
  NOTE;

  /** The word used outside. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** The priority of a word, or empty. */
  public static Optional<Priority> ofWord(String word) {
    for (Priority priority : values()) {
      if (priority.word().equals(word)) {
        return Optional.of(priority);
      }
    }
    return Optional.empty();
  }
}
