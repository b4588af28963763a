package org.cellherd.protocol.bringup;

/** The data of one message of an emulated board; the array is not to be changed. */
final class EmulatedPart {
  private final int rank;
  private final int page;
  private final byte[] bytes;

  EmulatedPart(int rank, int page, byte[] bytes) {
    this.rank = rank;
    this.page = page;
    this.bytes = bytes;
  }

  /** Which message it is, from 0. */
  int rank() {
    return rank;
  }

  /** The page that its request names, from 0; -1 for none. */
  int page() {
    return page;
  }

  byte[] bytes() {
    return bytes;
  }
}
