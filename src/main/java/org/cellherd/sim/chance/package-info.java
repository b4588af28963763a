/** Seeded chance that does not depend on the order of asking. */
@NullMarked
package org.cellherd.sim.chance;

import org.jspecify.annotations.NullMarked;
