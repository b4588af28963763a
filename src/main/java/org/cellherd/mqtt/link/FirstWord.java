package org.cellherd.mqtt.link;

import java.io.FilterInputStream;
import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.InterruptedIOException;
import java.io.OutputStream;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * Lets the end of a line be heard only after we have spoken. The client library starts a reader and
 * then waits, for ever, until it sees it run: where the other side hangs up at once the reader has
 * ended by then, and the waiting thread is never given back. By the first byte that is written all
 * its threads run.
 */
final class FirstWord {
  /** Only a library that never writes would make it wait so long. */
  private static final long MOST_S = 10;

  private final CountDownLatch spoken = new CountDownLatch(1);

  /** What is read; its end, or its failure, waits for the first word. */
  InputStream heard(InputStream real) {
    return new FilterInputStream(real) {
      @Override
      public int read() throws IOException {
        byte[] one = new byte[1];
        return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
      }

      /** The reader asks before it reads; a line that is gone is told by the reading. */
      @Override
      public int available() {
        try {
          return in.available();
        } catch (IOException gone) {
          return 0;
        }
      }

      @Override
      public int read(byte[] buffer, int offset, int most) throws IOException {
        try {
          int count = in.read(buffer, offset, most);
          if (count < 0) {
            await();
          }
          return count;
        } catch (IOException broken) {
          await();
          throw broken;
        }
      }
    };
  }

  /** What is written: the first byte is the first word, whether it arrives or not. */
  OutputStream spoken(OutputStream real) {
    return new FilterOutputStream(real) {
      @Override
      public void write(int value) throws IOException {
        spoken.countDown();
        out.write(value);
      }

      @Override
      public void write(byte[] buffer, int offset, int length) throws IOException {
        spoken.countDown();
        out.write(buffer, offset, length);
      }
    };
  }

  private void await() throws IOException {
    try {
      spoken.await(MOST_S, TimeUnit.SECONDS);
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
      throw new InterruptedIOException();
    }
  }
}
