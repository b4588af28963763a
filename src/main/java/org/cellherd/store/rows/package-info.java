/**
 * Rows as they wait, are written and are read: readings, gaps, stretches, statistics, findings, and
 * the tail before them. Only the store uses it. Entry: {@link org.cellherd.store.rows.PackStream}.
 */
@NullMarked
package org.cellherd.store.rows;

import org.jspecify.annotations.NullMarked;
