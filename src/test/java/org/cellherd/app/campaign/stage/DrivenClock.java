package org.cellherd.app.campaign.stage;

import org.cellherd.pack.SimulatedTime;

/** A simulated computer's clock. */
public final class DrivenClock implements RunClock {

  private final SimulatedTime time;
  private final long startMs;
  private long asleepMs;

  /** A clock that is right now. */
  public DrivenClock(SimulatedTime time) {
    this.time = time;
    this.startMs = time.wallMs();
  }

  @Override
  public void stepMs(long ms) {
    time.stepWallMs(ms);
  }

  @Override
  public long aheadMs() {
    return time.wallMs() - trueMs();
  }

  @Override
  public long trueMs() {
    return startMs + time.monotonicNanos() / 1_000_000 + asleepMs;
  }

  @Override
  public void suspend(long ms) {
    asleepMs += ms;
    time.suspend(ms);
  }

  @Override
  public void sure(boolean isSure) {
    time.setWallSure(isSure);
  }
}
