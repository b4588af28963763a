package org.cellherd.board;

/** The far side of a {@link LoopbackLink}: one or more boards in this process. One thread. */
@FunctionalInterface
public interface FarSide {

  /** Bytes went to the boards; returns what they answer, empty for nothing. */
  byte[] exchange(byte[] sent);

  /** What a board that talks by itself says at this moment, empty for nothing. */
  default byte[] announced() {
    return new byte[0];
  }

  /** How long the boards think before the answer to the last exchange begins, ns. */
  default long delayNanos() {
    return 0;
  }

  /** False while the cable is pulled. */
  default boolean isPlugged() {
    return true;
  }
}
