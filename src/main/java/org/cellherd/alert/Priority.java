package org.cellherd.alert;

import java.util.Locale;

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
}
