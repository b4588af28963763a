package org.cellherd.analysis;

/**
 * The first cell to be full opens the board's charge switch, relaxes, and lets it close again, over
 * and over.
 *
 * @param trips how often within the last hour
 * @param allTrips how often in this charge
 * @param periodMin mean time between the trips of this charge, minutes
 * @param cell the cell that was highest at most of the trips, from 1
 * @param sinceMs the first trip of this charge, ms UTC
 */
public record Bounce(int trips, int allTrips, double periodMin, int cell, long sinceMs) {}
