package org.cellherd.app.daemon;

import java.util.concurrent.TimeUnit;

/** Java that does nothing for some seconds: what every program pays for being one. */
final class EmptyProgram {

  private EmptyProgram() {}

  /** Sleeps the seconds given. */
  public static void main(String[] args) throws InterruptedException {
    TimeUnit.SECONDS.sleep(Long.parseLong(args[0]));
  }
}
