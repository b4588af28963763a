/**
 * Arranges units into groups: which units are paralleled so that the pack's weakest group is as
 * strong as can be, how near that comes to a proven bound, and what flows among the units of a
 * group. Entry: {@link org.cellherd.pile.match.Matching}.
 */
@NullMarked
package org.cellherd.pile.match;

import org.jspecify.annotations.NullMarked;
