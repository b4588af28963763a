/**
 * What a fold remembers, as bytes, so that a restart need not read the log anew: {@link
 * org.cellherd.analysis.state.StateWriter} and {@link org.cellherd.analysis.state.StateReader}.
 */
@NullMarked
package org.cellherd.analysis.state;

import org.jspecify.annotations.NullMarked;
