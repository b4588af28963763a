/**
 * Folds over log entries, and the sentences that say what they found. No input or output, no clock,
 * no threads. Here stand the values that everything shares. Above them lie the layers {@code
 * state}, {@code trend} (statistics), {@code cell} (what a chemistry tells), {@code moment} (what
 * kind of instant it is), {@code flow} (charge counted), {@code fold}, {@code plan} (audit of a
 * plan); then a leaf for each analysis, none of which sees another; then {@code engine}, which
 * knows all: {@code engine.PackAnalysis} is the entry.
 */
@NullMarked
package org.cellherd.analysis;

import org.jspecify.annotations.NullMarked;
