package org.cellherd.mqtt;

import java.io.IOException;
import java.util.Set;

/** What brokers keep, remembered in memory that outlives the publishers of a test. */
final class RememberedTopics implements BrokerMemory {

  private KeptAtBroker kept = KeptAtBroker.NOTHING;
  private boolean refuses;
  private int refused;

  @Override
  public synchronized KeptAtBroker recall() {
    return kept;
  }

  @Override
  public synchronized void remember(KeptAtBroker now) throws IOException {
    if (refuses) {
      refused++;
      throw new IOException("No space left on device");
    }
    kept = now;
  }

  /** From now on nothing can be remembered, or everything again. */
  synchronized void refuses(boolean all) {
    refuses = all;
  }

  /** How often nothing could be remembered. */
  synchronized int refused() {
    return refused;
  }

  /** An earlier run has left these. */
  synchronized void left(String... topics) {
    kept = new KeptAtBroker(Set.of(topics), 0, "");
  }
}
