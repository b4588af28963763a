/** What surrounds a pack: air, sun and clouds, charger, loads, and the bus that joins them. */
@NullMarked
package org.cellherd.sim.supply;

import org.jspecify.annotations.NullMarked;
