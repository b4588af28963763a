package org.cellherd.app.campaign.stage;

/** The wall clock that the program sees; its boards live by the true one. */
public interface RunClock {

  /** Sets it forward or back by some ms against what it shows. */
  void stepMs(long ms);

  /** How far it is ahead of the truth, ms. */
  long aheadMs();

  /** The true time, ms UTC. */
  long trueMs();

  /** The computer sleeps: true time goes on, the program does not. */
  void suspend(long ms);

  /** Says whether the clock counts as set by the network; where nobody can say, it never does. */
  void sure(boolean isSure);
}
