package org.cellherd.mqtt;

import org.cellherd.mqtt.link.BrokerUrl;

/** A broker that a test may stop and start again. */
public interface BrokerUnderTest extends AutoCloseable {

  /** Where it listens; the same after a new start. */
  BrokerUrl url();

  /** Starts it again. */
  void start();

  /** Ends it. */
  void stop();

  @Override
  void close();
}
