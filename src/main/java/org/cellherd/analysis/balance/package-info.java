/**
 * The top balance: which cell is ahead by how many Ah, what bleeds it, how long it will take, and
 * whether it is done. Leads are those of the model in {@code analysis.estimate} and of crossings of
 * fixed levels together. By ablation the model alone tells 7 % fewer, in bounds 30 % narrower, and
 * holds as large a share of them; crossings alone tell 12 % fewer and are wrong more often. Before
 * crossings can go, the model must show a slow leak from one full charge to the next. Start at
 * {@link org.cellherd.analysis.balance.KneeRate} for speed and at the balance fold for the verdict.
 */
@NullMarked
package org.cellherd.analysis.balance;

import org.jspecify.annotations.NullMarked;
