package org.cellherd.protocol;

import java.util.function.Supplier;
import org.cellherd.pack.Reading;

/** A board's side of the wire, for the simulator: the same description, encoding. One thread. */
public interface Responder {

  /**
   * Takes bytes from the line and returns the board's answer, empty while there is none. The
   * reading is asked for only when an answer is made. Bytes for another address are ignored.
   */
  byte[] feed(byte[] chunk, Supplier<Reading> now);

  /**
   * What a board that talks by itself sends for a reading; empty for a board that must be asked.
   */
  byte[] announce(Reading reading);
}
