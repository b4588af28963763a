/** What knows all analyses: makes the folds of a pack, feeds them, and shows what they know. */
@NullMarked
package org.cellherd.analysis.engine;

import org.jspecify.annotations.NullMarked;
