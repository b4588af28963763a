package org.cellherd.analysis.plan;

/**
 * The levels at which alerts are told, which a board's trips are held against.
 *
 * @param highMv critical above, mV a cell
 * @param lowMv critical below, mV a cell
 */
public record Alarms(double highMv, double lowMv) {}
