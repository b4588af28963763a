package org.cellherd.mqtt;

import java.util.Set;
import org.cellherd.mqtt.kept.BrokerMemory;
import org.cellherd.mqtt.kept.Kept;

/** What brokers keep, remembered in memory that outlives the publishers of a test. */
final class RememberedTopics implements BrokerMemory {

  private Kept kept = Kept.NOTHING;

  @Override
  public synchronized Kept recall() {
    return kept;
  }

  @Override
  public synchronized void remember(Kept now) {
    kept = now;
  }

  /** An earlier run has left these. */
  synchronized void left(String... topics) {
    kept = new Kept(Set.of(topics), 0, "");
  }
}
