package org.cellherd.protocol.checksum;

/** A rule that makes a check value from bytes. Immutable. */
public interface Checksum {

  /** Name as written in description files, such as {@code crc-16/modbus}. */
  String word();

  default String described() {
    return word();
  }

  /** Bytes that the value takes on the wire in binary form: 1, 2 or 4. */
  int bytes();

  /** The value over some bytes, in the low bits. */
  long over(byte[] data, int from, int to);

  /**
   * The value when the rule begins with a number instead of its own constant: added to a sum, the
   * initial register of a CRC as catalogues print it.
   */
  long begunWith(long seed, byte[] data);

  /** The value over all of some bytes. */
  default long over(byte[] data) {
    return over(data, 0, data.length);
  }
}
