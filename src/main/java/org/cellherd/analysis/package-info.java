/**
 * Folds over log entries, and the sentences that say what they found. No input or output, no clock,
 * no threads.
 */
@NullMarked
package org.cellherd.analysis;

import org.jspecify.annotations.NullMarked;
