package org.cellherd.page;

import java.io.OutputStream;

/** The way back to one who asked. Each request gets one answer; any thread may give it. */
interface Reply {

  /** Sends a whole answer and returns at once. */
  void send(Answer answer);

  /**
   * Begins an answer that goes on until it is closed. Writing to it waits for a reader who is slow,
   * and fails when he takes nothing or has gone.
   */
  OutputStream stream(Answer head);

  /** Asks again with the same request after some ns. */
  void later(long nanos);
}
