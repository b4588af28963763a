package org.cellherd.forward;

import org.cellherd.forward.wire.CentreAnswer;

/**
 * A parcel that was sent and is not held yet.
 *
 * @param rev its revision
 * @param crc CRC-32C of its body
 * @param token of its sending
 * @param atNanos when it was sent
 */
record Sent(long rev, long crc, long token, long atNanos) {

  /** True when a centre has just this, not a newer one. */
  boolean isHeldBy(CentreAnswer.Held answer) {
    return rev == answer.rev() && crc == answer.crc();
  }
}
