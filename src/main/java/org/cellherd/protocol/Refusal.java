package org.cellherd.protocol;

import org.cellherd.pack.Worded;

/**
 * Why bytes were not taken.
 *
 * @param reason the kind
 * @param offset byte of the frame where it shows, from 0
 * @param detail what was found and what would be right, for people
 */
public record Refusal(Reason reason, int offset, String detail) {

  /** Kinds of refusal. */
  public enum Reason implements Worded {
    /** The check value does not fit. */
    CHECKSUM,
    /** The frame is shorter or longer than its length says. */
    LENGTH,
    /** Start, end or escape bytes are wrong. */
    FRAMING,
    /** The answer of another board. */
    ADDRESS,
    /** An answer to another request. */
    NOT_OURS,
    /** The board said no; the detail has its code. */
    EXCEPTION,
    /** The board is at work and asks to be asked again later; the detail has its code. */
    BUSY,
    /** A field is out of its valid range. */
    FIELD,
    /** Parts of a reading lie too far apart in time. */
    SKEW;
  }
}
