package org.cellherd.protocol.frame;

import java.util.Optional;
import org.cellherd.protocol.Refusal;

/** What the reader of a line waits for: lets a parser know a false start of a frame early. */
public interface Expectation {

  /**
   * True when a frame that begins so may be the one waited for; unknown parts are {@link
   * Frame#NONE}.
   */
  boolean plausible(long address, long code, int dataLength);

  /**
   * Length of the data of a message where the frame itself does not tell: known from the bytes so
   * far, or -1 when more are needed, or {@link Integer#MAX_VALUE} when there is no such message.
   */
  int dataLength(long code, byte[] data, int available);

  /**
   * The address waited for, where a check value knows it though the frame does not hold it; {@link
   * Frame#NONE} where there is none.
   */
  default long address() {
    return Frame.NONE;
  }

  /** True when frames that are not waited for are counted as refused: not on a shared line. */
  boolean countsForeign();

  /** Why a frame that passed its checks is not the one waited for; empty when it is. */
  Optional<Refusal> objection(Frame frame);
}
