package org.cellherd.mqtt.kept;

import java.io.IOException;

/** Outlives the program. Any thread. */
public interface BrokerMemory {

  /** Forgets at once: every run is the first. */
  BrokerMemory NONE =
      new BrokerMemory() {
        @Override
        public Kept recall() {
          return Kept.NOTHING;
        }

        @Override
        public void remember(Kept kept) {
          // Nothing outlives it.
        }
      };

  /** What was remembered last; {@link Kept#NOTHING} when there is nothing that can be read. */
  Kept recall();

  /** Remembers this in place of what was before. */
  void remember(Kept kept) throws IOException;
}
