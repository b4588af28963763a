package org.cellherd.analysis.setpoint;

import org.cellherd.analysis.plan.Alarms;

/**
 * Our own alert levels, which a board's trips are held against.
 *
 * @param alarms the voltages of a cell
 * @param hotWarnC a cell above is told, degC
 */
public record Watch(Alarms alarms, double hotWarnC) {}
