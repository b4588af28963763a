package org.cellherd.store;

/**
 * What was moved, or would be.
 *
 * @param readings how many
 * @param stretches of so many stretches
 * @param gaps gaps that moved with them
 * @param fromMs time of the first reading before, ms UTC
 * @param toMs time of the last one before, ms UTC
 * @param offsetMs what was added, ms
 */
public record Redated(
    long readings, int stretches, long gaps, long fromMs, long toMs, long offsetMs) {}
