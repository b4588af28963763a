package org.cellherd.analysis;

/**
 * What the board said while a meter was read.
 *
 * @param value its mean, or its count over the time, in the unit of the meter's reading
 * @param error by how much that may differ from what its sensor stood at: resolution, movement
 *     within the time, time not heard
 * @param hours of a count; 1 for a current
 */
public record BoardCount(double value, double error, double hours) {}
