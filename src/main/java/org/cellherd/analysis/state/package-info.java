/**
 * What a fold remembers, as bytes, so that a restart need not read the log anew: each class
 * describes it once ({@link org.cellherd.analysis.state.State}), and a {@link
 * org.cellherd.analysis.state.SavedState} carries it.
 */
@NullMarked
package org.cellherd.analysis.state;

import org.jspecify.annotations.NullMarked;
