/**
 * The top balance: which cell is ahead by how many Ah, what bleeds it, how long it will take, and
 * whether it is done. Start at {@link org.cellherd.analysis.balance.KneeRate} for speed and at the
 * balance fold for the verdict.
 */
@NullMarked
package org.cellherd.analysis.balance;

import org.jspecify.annotations.NullMarked;
