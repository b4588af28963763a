package org.cellherd.protocol.frame;

/** A rule by which frames stand in a stream of bytes. Immutable. */
public interface Framing {

  /** True when only a silence ends a frame. */
  default boolean endsBySilence() {
    return false;
  }

  /** Longest frame on the wire, bytes. */
  int longest();

  /** Bytes on the wire of a frame with some data, escapes not counted. */
  int wireLength(long code, int dataLength);

  /**
   * Looks for a frame that begins exactly at {@code from}.
   *
   * @param silent true when no further byte will come
   */
  Scan scan(byte[] buffer, int from, int to, Expectation expected, boolean silent);

  /** The bytes of a frame on the wire. */
  byte[] build(long address, long code, byte[] data);

  /** The bytes with which a board says no; empty when this framing has no such answer. */
  byte[] buildException(long address, long code, int reason);
}
