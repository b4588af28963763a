package org.cellherd.protocol.bringup;

import java.util.Optional;

/**
 * What some bytes of a message may be.
 *
 * @param at first byte of the message, from 0
 * @param bytes bytes of one value
 * @param count values in a row
 * @param isLowFirst byte order
 * @param what in words, for people
 * @param field the field of a description, without its place; empty when it is only a remark
 */
record ColumnGuess(
    int at, int bytes, int count, boolean isLowFirst, String what, Optional<String> field) {
  int end() {
    return at + bytes * count;
  }

  boolean overlaps(ColumnGuess other) {
    return at < other.end() && other.at < end();
  }
}
