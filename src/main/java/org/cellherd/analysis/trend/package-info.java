/**
 * Statistics that the analyses rest on: moments, straight lines, robust slopes, trend tests, one
 * change detector and dates at which a line meets a threshold. Pure numbers: knows no packs.
 * Sources of the equations are named at each class; every one is tested against published values.
 */
@NullMarked
package org.cellherd.analysis.trend;

import org.jspecify.annotations.NullMarked;
