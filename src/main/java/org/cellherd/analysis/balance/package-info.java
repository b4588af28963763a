/**
 * The top balance: which cell is ahead by how many Ah, what bleeds it, how long it will take, and
 * whether it is done. Leads come from the one model of {@code analysis.estimate}; crossings of
 * fixed levels that once stood beside it made bounds wider by a third and held no more of them.
 * Start at the balance fold.
 */
@NullMarked
package org.cellherd.analysis.balance;

import org.jspecify.annotations.NullMarked;
