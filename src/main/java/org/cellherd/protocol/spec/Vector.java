package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Bytes;

/**
 * One example of a board's talk and what it means.
 *
 * @param name for people
 * @param line line of the file where it stands
 * @param message the message asked for, or "" for a talk of several
 * @param address the board's address
 * @param page the page shown, as the message counts them, or -1
 * @param exchange request and answer; the request is empty where it is not compared or nobody asks
 * @param reading what the bytes tell, at time 0; empty for a refused one
 * @param extras texts for people that must be among those shown
 * @param refused why the last answer is refused; empty for a good one
 * @param encodes true when the same reading must give the same bytes again
 */
record Vector(
    String name,
    int line,
    String message,
    int address,
    int page,
    List<Exchange> exchange,
    Optional<Reading> reading,
    Map<String, String> extras,
    Optional<Refusal.Reason> refused,
    boolean encodes) {

  /** Bytes out and bytes in. */
  record Exchange(Optional<Bytes> request, Bytes answer) {}
}
