package org.cellherd.board;

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

  /** Sends all bytes. */
  void write(byte[] bytes) throws LinkException;

  /**
   * Reads what is there, waiting at most some ms for the first byte.
   *
   * @return how many bytes came, 0 when the time passed without any
   */
  int read(byte[] buffer, int timeoutMs) throws LinkException;

  /** Throws away what has come in so far. */
  void discardInput() throws LinkException;

  /** Closes it; never fails. */
  @Override
  void close();
}
