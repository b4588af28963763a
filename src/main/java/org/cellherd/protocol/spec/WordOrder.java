package org.cellherd.protocol.spec;

/**
 * Order of a number's bytes. A is the highest byte; the last two are for numbers made of 16-bit
 * words.
 */
enum WordOrder {
  /** ABCD, highest byte first. */
  BIG,
  /** DCBA, lowest byte first. */
  LITTLE,
  /** CDAB, lowest word first, each word highest byte first. */
  CDAB,
  /** BADC, highest word first, each word lowest byte first. */
  BADC;

  /** Where the byte of a rank (0 = highest) stands. */
  int place(int rank, int bytes) {
    return switch (this) {
      case BIG -> rank;
      case LITTLE -> bytes - 1 - rank;
      case CDAB -> bytes - 2 - (rank & ~1) + (rank & 1);
      case BADC -> rank ^ 1;
    };
  }
}
