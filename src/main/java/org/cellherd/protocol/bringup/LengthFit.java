package org.cellherd.protocol.bringup;

/**
 * Bytes that tell how long a message is.
 *
 * @param at first byte of the number
 * @param bytes 1 or 2
 * @param isLowFirst true when its low byte comes first
 * @param uncounted message length minus the number: bytes that it does not count
 * @param inCharacters true when it counts the characters of a hex line
 * @param hasNibbleCheck true when its highest four bits check the other twelve
 * @param lengths how many different message lengths it was right for
 */
record LengthFit(
    int at,
    int bytes,
    boolean isLowFirst,
    int uncounted,
    boolean inCharacters,
    boolean hasNibbleCheck,
    int lengths) {
  /** One length alone proves nothing. */
  boolean isProven() {
    return lengths >= 2 || hasNibbleCheck;
  }
}
