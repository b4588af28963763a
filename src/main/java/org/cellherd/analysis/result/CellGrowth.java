package org.cellherd.analysis.result;

import org.cellherd.analysis.Interval;

/**
 * How a cell's lead grows from one full charge to the next.
 *
 * @param cell from 1
 * @param ahPerDay negative where it falls behind; open below once it no longer comes to its knee
 */
public record CellGrowth(
    int cell, @Digits(value = 4, style = Digits.Style.ENDS) Interval ahPerDay) {}
