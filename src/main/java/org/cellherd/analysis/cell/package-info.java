/** What is known of a cell by its chemistry: curves and the effect of temperature. */
@NullMarked
package org.cellherd.analysis.cell;

import org.jspecify.annotations.NullMarked;
