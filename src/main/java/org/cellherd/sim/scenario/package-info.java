/** The sections of a scenario file, read strictly and built into the parts of a rig. */
@NullMarked
package org.cellherd.sim.scenario;

import org.jspecify.annotations.NullMarked;
