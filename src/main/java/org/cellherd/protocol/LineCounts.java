package org.cellherd.protocol;

/**
 * What came over a line so far.
 *
 * @param framesTaken frames that passed every check
 * @param framesRefused frames that did not
 * @param bytesThrownAway bytes outside any frame
 */
public record LineCounts(long framesTaken, long framesRefused, long bytesThrownAway) {}
