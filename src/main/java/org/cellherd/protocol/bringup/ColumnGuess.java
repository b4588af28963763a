package org.cellherd.protocol.bringup;

import java.util.Optional;

/**
 * What some bytes of a message may be.
 *
 * @param at first byte of the message, from 0
 * @param end the byte behind the last
 * @param count values in a row
 * @param role what for
 * @param what in words, for people
 * @param field the field of a description, without its place; empty when it is only a remark
 * @param isSettled true when a meter confirmed it, or nothing is open about it
 */
record ColumnGuess(
    int at, int end, int count, Role role, String what, Optional<String> field, boolean isSettled) {

  /** What a column is for. */
  enum Role {
    CELLS,
    PACK,
    CURRENT,
    TEMPERATURES,
    OTHER
  }

  static ColumnGuess of(int at, Code code, int count, Role role, String what, String keys) {
    return new ColumnGuess(
        at,
        at + code.span(count),
        count,
        role,
        what,
        Optional.of(field(code, count, role, keys)),
        false);
  }

  /** The same, with nothing left to settle. */
  ColumnGuess settled() {
    return new ColumnGuess(at, end, count, role, what, field, true);
  }

  private static String field(Code code, int count, Role role, String keys) {
    String as =
        switch (role) {
          case CELLS -> "as = \"cell\", ";
          case PACK -> "as = \"pack_voltage\", ";
          case CURRENT -> "as = \"current\", ";
          case TEMPERATURES -> "as = \"temperature\", ";
          case OTHER -> "";
        };
    return as + code.field() + (count == 1 ? "" : ", repeat = " + count) + keys;
  }

  boolean overlaps(int from, int to) {
    return at < to && from < end;
  }
}
