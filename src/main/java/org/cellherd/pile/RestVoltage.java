package org.cellherd.pile;

/**
 * A voltage without current.
 *
 * @param mv of the whole unit, mV
 * @param atMs when, ms UTC
 * @param withinMs how far the true instant may lie from {@code atMs} either way, ms: half a day
 *     where only the date is known
 */
public record RestVoltage(double mv, long atMs, long withinMs) {}
