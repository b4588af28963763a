/**
 * Plots of a pack over time, as scenes: {@link org.cellherd.report.plot.Plots}. The herd strip is
 * the first of them.
 */
@NullMarked
package org.cellherd.report.plot;

import org.jspecify.annotations.NullMarked;
