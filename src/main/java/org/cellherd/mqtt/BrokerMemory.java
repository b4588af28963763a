package org.cellherd.mqtt;

import java.io.IOException;

/** Outlives the program. Any thread. */
interface BrokerMemory {

  /**
   * What was remembered last; {@link KeptAtBroker#NOTHING} when there is nothing that can be read.
   */
  KeptAtBroker recall();

  /** Remembers this in place of what was before. */
  void remember(KeptAtBroker kept) throws IOException;
}
