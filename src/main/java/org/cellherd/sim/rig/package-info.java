/**
 * Packs on a bus, moved on in time, with what is really so beside what their boards print; what
 * surrounds them (air, sun and clouds, charger, loads), what goes wrong in them and when, and the
 * scenario file that all of it is built from.
 *
 * <p>A protection board is as it really is: it measures with noise, offset and steps, prints small
 * currents as none, bleeds by its own rules, trips and releases, sleeps, and has an opinion on the
 * state of charge.
 */
@NullMarked
package org.cellherd.sim.rig;

import org.jspecify.annotations.NullMarked;
