package org.cellherd.mqtt;

import java.util.Set;

/** What brokers keep, remembered in memory that outlives the publishers of a test. */
final class RememberedTopics implements BrokerMemory {

  private KeptAtBroker kept = KeptAtBroker.NOTHING;

  @Override
  public synchronized KeptAtBroker recall() {
    return kept;
  }

  @Override
  public synchronized void remember(KeptAtBroker now) {
    kept = now;
  }

  /** An earlier run has left these. */
  synchronized void left(String... topics) {
    kept = new KeptAtBroker(Set.of(topics), 0, "");
  }
}
