package org.cellherd.store;

/**
 * One hour or day of one channel, in the channel's stored unit.
 *
 * @param startMs start of the hour or day, ms UTC; off the full hour only where the stretch was
 *     re-timed
 * @param count how many readings had a value
 * @param min lowest
 * @param mean arithmetic mean
 * @param max highest
 * @param first first value
 * @param last last value
 */
public record Statistic(
    long startMs, long count, long min, double mean, long max, long first, long last) {}
