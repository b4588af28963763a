package org.cellherd.store;

/**
 * Somebody has seen an alert.
 *
 * @param alertId the alert's id
 * @param by who, as given
 * @param atMs when, ms UTC
 */
public record Acknowledgement(String alertId, String by, long atMs) {}
