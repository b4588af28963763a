/**
 * Physics of cells and of the pack they are wired into: open-circuit curves, equivalent circuits,
 * straps, tap leads and heat. Plain doubles in SI units and Ah; no time but the step it is given.
 */
@NullMarked
package org.cellherd.sim.cell;

import org.jspecify.annotations.NullMarked;
