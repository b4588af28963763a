/**
 * Says for each unit of a pile: use, measure again, or do not use, with reasons and numbers, what
 * is missing, and what to measure next. Entry: {@link org.cellherd.pile.triage.Triage}.
 */
@NullMarked
package org.cellherd.pile.triage;

import org.jspecify.annotations.NullMarked;
