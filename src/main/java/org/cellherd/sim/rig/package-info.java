/** Packs on a bus, moved on in time, with what is really so beside what the boards print. */
@NullMarked
package org.cellherd.sim.rig;

import org.jspecify.annotations.NullMarked;
