package org.cellherd.app;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.cellherd.pack.TimeSource;

/** The computer's clocks: the only place that asks for them. Any thread. */
public final class SystemTime implements TimeSource {

  /** Written by the system's own network time service once it has set the clock. */
  private static final Path SYNCHRONISED = Path.of("/run/systemd/timesync/synchronized");

  /** Seconds since boot, suspended time included, to hundredths. */
  private static final Path UPTIME = Path.of("/proc/uptime");

  private static final long ASK_AGAIN_NANOS = TimeUnit.MINUTES.toNanos(1);

  private volatile boolean sure;
  private volatile long askedNanos;
  private volatile boolean asked;

  @Override
  public long wallMs() {
    return System.currentTimeMillis();
  }

  @Override
  public long monotonicNanos() {
    return System.nanoTime();
  }

  @Override
  public long sinceBootNanos() {
    try {
      String uptime = Files.readString(UPTIME, StandardCharsets.US_ASCII);
      return (long) (Double.parseDouble(uptime.substring(0, uptime.indexOf(' '))) * 1e9);
    } catch (IOException | RuntimeException notTold) {
      return System.nanoTime();
    }
  }

  /**
   * True when the kernel says that its clock is synchronised. Asked at most once a minute, and
   * never again after a yes: an undisciplined clock drifts, it does not jump years.
   */
  @Override
  public boolean isWallSure() {
    if (!sure && (!asked || System.nanoTime() - askedNanos > ASK_AGAIN_NANOS)) {
      asked = true;
      askedNanos = System.nanoTime();
      sure = Files.exists(SYNCHRONISED) || kernelSaysSynchronised();
    }
    return sure;
  }

  private static boolean kernelSaysSynchronised() {
    try {
      Process process =
          new ProcessBuilder("timedatectl", "show", "--property=NTPSynchronized", "--value")
              .redirectErrorStream(true)
              .start();
      if (!process.waitFor(2, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        return false;
      }
      return new String(process.getInputStream().readNBytes(64), StandardCharsets.US_ASCII)
          .trim()
          .equals("yes");
    } catch (IOException noSuchProgram) {
      return false;
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  @Override
  public void sleepNanos(long nanos) throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    LockSupport.parkNanos(nanos);
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
  }
}
