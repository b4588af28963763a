package org.cellherd.protocol.spec;

/**
 * One described value, or row of values, of a line.
 *
 * @param field its meaning; the place is not used
 * @param key key or name before or behind the value, {@code {n}} standing for the number; or ""
 * @param column column from 1 where the line has columns, else 0
 * @param transducer letter of an XDR transducer type, or ""
 * @param decimals decimals that an encoder writes
 * @param optional true when the line is whole without it
 */
record TextField(
    Field field, String key, int column, String transducer, int decimals, boolean optional) {

  String key(int index) {
    return key.replace("{n}", Integer.toString(field.meaning().first() + index));
  }

  /** Name of one value of the row, for completeness. */
  String part(int index) {
    return field.name() + "#" + column + key + transducer + "#" + index;
  }
}
