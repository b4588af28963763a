/** Figures for programs that collect them, as OpenMetrics text or its older form. */
@NullMarked
package org.cellherd.page.metrics;

import org.jspecify.annotations.NullMarked;
