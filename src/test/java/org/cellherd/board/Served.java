package org.cellherd.board;

import java.util.Arrays;
import org.cellherd.protocol.LineSettings;

/** A far side that answers on a link of its own in a thread of its own until closed. */
final class Served implements AutoCloseable {
  private final Thread thread;
  private volatile boolean isOver;

  Served(Link link, FarSide wire) throws LinkException {
    link.open(LineSettings.DEFAULT);
    thread = new Thread(() -> serve(link, wire), "served");
    thread.setDaemon(true);
    thread.start();
  }

  private void serve(Link link, FarSide wire) {
    byte[] buffer = new byte[256];
    try (link) {
      while (!isOver) {
        int n = link.read(buffer, 100);
        if (n > 0) {
          byte[] answer = wire.exchange(Arrays.copyOf(buffer, n));
          if (answer.length > 0) {
            link.write(answer);
          }
        }
      }
    } catch (LinkException e) {
      isOver = true;
    }
  }

  @Override
  public void close() {
    isOver = true;
    try {
      thread.join(3000);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  boolean isServing() {
    return thread.isAlive();
  }
}
