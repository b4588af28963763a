/**
 * What alert rules look at: {@link org.cellherd.alert.input.RuleInput}, the latest entry with what
 * the analyses know and how fast things move, and ways to ask of it.
 */
@NullMarked
package org.cellherd.alert.input;

import org.jspecify.annotations.NullMarked;
