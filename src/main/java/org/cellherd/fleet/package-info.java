/**
 * The centre of many sites: what their logs forward is gathered in one PostgreSQL, and questions
 * are asked of all packs. The only package beside {@code store} that speaks SQL.
 */
@NullMarked
package org.cellherd.fleet;

import org.jspecify.annotations.NullMarked;
