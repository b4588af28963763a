package org.cellherd.analysis.plan;

/**
 * The levels at which an alert is first told, which a board's trips are held against.
 *
 * @param highMv told above, mV a cell
 * @param lowMv told below, mV a cell
 */
public record Alarms(double highMv, double lowMv) {}
