/**
 * What people read: the report as one HTML file or as text ({@link org.cellherd.report.HtmlReport},
 * {@link org.cellherd.report.TextReport}), single plots ({@link org.cellherd.report.plot.Plots})
 * and the pack label ({@link org.cellherd.report.label.PackLabel}). Draws and words only: every
 * number comes from the log or from a finding.
 */
@NullMarked
package org.cellherd.report;

import org.jspecify.annotations.NullMarked;
