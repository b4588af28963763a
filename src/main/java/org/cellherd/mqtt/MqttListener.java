package org.cellherd.mqtt;

import org.cellherd.alert.AlertEvent;

/** Hears how publishing goes, on the publisher's thread; must not wait. */
public interface MqttListener {

  MqttListener NONE = new MqttListener() {};

  default void connected() {}

  /** The connection is gone or could not be made; one line for people. */
  default void disconnected(String trouble) {}

  /** Another program publishes under our root; one line for people. */
  default void neighbour(String warning) {}

  /** The broker has acknowledged an event. */
  default void delivered(AlertEvent event) {}
}
