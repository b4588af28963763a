package org.cellherd.page;

import java.io.IOException;
import java.io.InterruptedIOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.util.Arrays;

/** An answer that goes on. One thread writes; the listener's takes. */
final class Stream extends OutputStream {

  /** Bytes that may wait to be taken before the writer waits too. */
  private static final int MOST_WAITING = 65_536;

  private final Listener listener;
  private final Caller caller;
  private int waiting;
  private boolean isEnded;

  Stream(Listener listener, Caller caller) {
    this.listener = listener;
    this.caller = caller;
  }

  @Override
  public void write(int single) throws IOException {
    write(new byte[] {(byte) single}, 0, 1);
  }

  @Override
  public void write(byte[] bytes, int from, int count) throws IOException {
    synchronized (this) {
      while (waiting > MOST_WAITING && !isEnded) {
        try {
          wait();
        } catch (InterruptedException closing) {
          Thread.currentThread().interrupt();
          throw new InterruptedIOException("closing");
        }
      }
      if (isEnded) {
        throw new IOException("the reader has gone");
      }
      waiting += count;
    }
    ByteBuffer piece = ByteBuffer.wrap(Arrays.copyOfRange(bytes, from, from + count));
    listener.execute(() -> caller.push(piece), caller);
  }

  /** So many bytes have gone out, the answer's head among them. */
  synchronized void taken(int count) {
    waiting = Math.max(0, waiting - count);
    notifyAll();
  }

  /** The connection is no more. */
  synchronized void end() {
    isEnded = true;
    notifyAll();
  }

  @Override
  public void close() {
    boolean wasOpen;
    synchronized (this) {
      wasOpen = !isEnded;
      isEnded = true;
    }
    if (wasOpen) {
      listener.execute(caller::finish, caller);
    }
  }
}
