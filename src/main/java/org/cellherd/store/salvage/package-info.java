/**
 * Saves what can be read out of a damaged file. Entry: {@link org.cellherd.store.salvage.Salvager}.
 */
@NullMarked
package org.cellherd.store.salvage;

import org.jspecify.annotations.NullMarked;
