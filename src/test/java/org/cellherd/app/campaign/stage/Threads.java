package org.cellherd.app.campaign.stage;

import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;

/** The far side of a campaign goes by real time and ends with the process. */
public final class Threads {

  private Threads() {}

  /** Starts work that nobody waits for. */
  public static void start(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    thread.start();
  }

  /** Lets real time pass. */
  public static void pause(long ms) {
    long end = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(ms);
    for (long left = end - System.nanoTime(); left > 0; left = end - System.nanoTime()) {
      LockSupport.parkNanos(left);
    }
  }
}
