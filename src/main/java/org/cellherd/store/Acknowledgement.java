package org.cellherd.store;

import org.cellherd.pack.PlainText;

/**
 * Somebody has seen an alert.
 *
 * @param alertId the alert's id
 * @param by who, as given
 * @param atMs when, ms UTC
 */
public record Acknowledgement(String alertId, String by, long atMs) {

  /** Takes what a terminal would obey out of the name. */
  public Acknowledgement {
    by = PlainText.spaced(by);
  }
}
