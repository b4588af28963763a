package org.cellherd.store;

import org.cellherd.alert.AlertEvent;

/**
 * An event of the log.
 *
 * @param event what changed
 * @param delivered true when a broker has acknowledged it
 */
public record StoredEvent(AlertEvent event, boolean delivered) {}
