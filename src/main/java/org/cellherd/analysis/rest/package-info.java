/**
 * Long rests: whether a cell loses charge by itself. Voltages of rested cells drift apart when one
 * leaks, where the curve is steep enough to see it; where it is flat the analysis says that it is
 * blind. Start at {@link org.cellherd.analysis.rest.RestFold}.
 */
@NullMarked
package org.cellherd.analysis.rest;

import org.jspecify.annotations.NullMarked;
