/**
 * What each analysis finds, as records. The parts are named with their units; {@link
 * org.cellherd.analysis.result.ResultForm} turns a record into facts and back by these names alone,
 * so that a key is written once, as the name of a part.
 */
@NullMarked
package org.cellherd.analysis.result;

import org.jspecify.annotations.NullMarked;
