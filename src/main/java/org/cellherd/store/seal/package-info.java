/**
 * Sums over rows by which damage outside of the blocks is noticed. Entry: {@link
 * org.cellherd.store.seal.SealWalk}.
 */
@NullMarked
package org.cellherd.store.seal;

import org.jspecify.annotations.NullMarked;
