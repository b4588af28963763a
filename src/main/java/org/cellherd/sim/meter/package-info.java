/**
 * A protection board as it really is: it measures with noise, offset and steps, prints small
 * currents as none, bleeds by its own rules, trips and releases, sleeps, and has an opinion on the
 * state of charge.
 */
@NullMarked
package org.cellherd.sim.meter;

import org.jspecify.annotations.NullMarked;
