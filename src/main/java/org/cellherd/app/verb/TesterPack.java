package org.cellherd.app.verb;

import java.util.OptionalDouble;

/**
 * What a tester's file does not say of what it tested.
 *
 * @param name as people call it
 * @param series cells in series
 * @param ratedAh rated capacity, where it is known
 * @param isDischargePositive whether the file prints discharge as positive
 */
record TesterPack(String name, int series, OptionalDouble ratedAh, boolean isDischargePositive) {}
