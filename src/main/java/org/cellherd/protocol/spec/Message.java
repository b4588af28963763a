package org.cellherd.protocol.spec;

import java.util.Optional;
import org.cellherd.protocol.field.MessageBody;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Frame;

/**
 * One described message of a board.
 *
 * @param name for people
 * @param code the code its answer bears, or {@link Frame#NONE}
 * @param codeMask bits of the code that count
 * @param requestCode the code its request bears
 * @param requestData data of its request
 * @param body what its data means
 * @param optional true when a reading is whole without it
 * @param match bytes in the data that tell it from others of the same code
 * @param line line of the file where it is described
 */
public record Message(
    String name,
    long code,
    long codeMask,
    long requestCode,
    Bytes requestData,
    MessageBody body,
    boolean optional,
    Optional<Match> match,
    int line) {

  /**
   * Bytes that a message always has.
   *
   * @param at byte of the data, from 0
   * @param bytes what stands there
   */
  public record Match(int at, Bytes bytes) {
    boolean holds(byte[] data) {
      for (int i = 0; i < bytes.length(); i++) {
        if (at + i >= data.length || (data[at + i] & 0xFF) != bytes.at(i)) {
          return false;
        }
      }
      return true;
    }
  }

  /** True when a frame of this code may be this message. */
  boolean bears(long frameCode) {
    return code == Frame.NONE
        || frameCode == Frame.NONE
        || (frameCode & codeMask) == (code & codeMask);
  }

  /** True when a frame bears this message's code and matching bytes. */
  boolean isIn(Frame frame) {
    return bears(frame.code()) && (match.isEmpty() || match.get().holds(frame.data()));
  }
}
