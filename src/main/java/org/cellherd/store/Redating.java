package org.cellherd.store;

import java.util.OptionalLong;
import java.util.function.LongUnaryOperator;

/**
 * Which readings of a pack get other times.
 *
 * @param pack the pack's id
 * @param stretch number of the one stretch that moves; empty for all readings of the span
 * @param fromMs the first time that moves, as the log has it, ms UTC
 * @param toMs times before this move, ms UTC
 * @param offsetMs gives what is added to every time, ms; asked with the time of the first reading
 *     that moves
 * @param byWhom who asks, kept in the log; may be empty
 * @param atMs when it is asked, ms UTC; no reading may come to lie after it
 */
public record Redating(
    String pack,
    OptionalLong stretch,
    long fromMs,
    long toMs,
    LongUnaryOperator offsetMs,
    String byWhom,
    long atMs) {}
