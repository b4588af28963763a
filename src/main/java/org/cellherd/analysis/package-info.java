/**
 * Folds over log entries, and the sentences that say what they found. No input or output, no clock,
 * no threads. Entry: {@link org.cellherd.analysis.PackAnalysis}, all folds of one pack, which hands
 * each the shared {@link org.cellherd.analysis.moment.Moment}; a sub-package holds each kind of
 * fold, {@code trend} the statistics, {@code plan} the audit of a plan.
 */
@NullMarked
package org.cellherd.analysis;

import org.jspecify.annotations.NullMarked;
