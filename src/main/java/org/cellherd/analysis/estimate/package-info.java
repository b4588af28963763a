/**
 * One model of a charge for all that is said of balance: charge as a function of rested voltage is
 * one curve for all cells of a pack, and each cell stands somewhere on it. A filter over kept means
 * of the readings gives each cell's place with an error to which every term adds its share.
 */
@NullMarked
package org.cellherd.analysis.estimate;

import org.jspecify.annotations.NullMarked;
