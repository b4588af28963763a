package org.cellherd.pile;

import java.util.OptionalDouble;

/**
 * One measured capacity.
 *
 * @param ah discharged from full, Ah
 * @param amperes mean current, if known
 * @param celsius temperature of the unit, if known
 * @param cutOffMv where the discharge ended, mV of the whole unit, if known
 * @param isLeast true when the test ended before this unit was empty: it holds at least this much
 */
public record UnitCapacityTest(
    double ah,
    OptionalDouble amperes,
    OptionalDouble celsius,
    OptionalDouble cutOffMv,
    boolean isLeast) {}
