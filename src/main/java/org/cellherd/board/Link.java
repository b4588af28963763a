package org.cellherd.board;

import java.util.OptionalLong;
import org.cellherd.protocol.LineSettings;

/**
 * A line to one or more boards. Closed when made. Belongs to one thread. After any exception the
 * link is closed; open it again.
 */
public interface Link extends AutoCloseable {

  /** What people call it: port path, host and port, file. */
  String name();

  /** Opens it, always anew by its stable name. */
  void open(LineSettings line) throws LinkException;

  /** True between open and close or failure. */
  boolean isOpen();

  void write(byte[] bytes) throws LinkException;

  /**
   * Reads what is there, waiting at most some ms for the first byte.
   *
   * @return how many bytes came, 0 when the time passed without any
   */
  int read(byte[] buffer, int timeoutMs) throws LinkException;

  /** Throws away what has come in so far. */
  void discardInput() throws LinkException;

  /**
   * When the bytes of the last read came, ms UTC, for links that keep a clock of their own (a
   * capture being written or replayed); empty for all others.
   */
  default OptionalLong heardAtMs() {
    return OptionalLong.empty();
  }

  /**
   * Pauses up to this many ms inside a message come from the way (buffers of an adapter, network)
   * and say nothing about the board.
   */
  default int pauseMs() {
    return 0;
  }

  /** True when the far end can be gone without any error, so that long silence means: open anew. */
  default boolean mayBeHalfOpen() {
    return false;
  }

  /** True when answers bear the number of their question, so that a late one is passed over. */
  default boolean tellsAnswersApart() {
    return false;
  }

  /** What may be wrong where this link is silent, for people; "" where nothing can be said. */
  default String advice() {
    return "";
  }

  /** Closes it; never fails. */
  @Override
  void close();
}
