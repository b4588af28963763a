package org.cellherd.mqtt;

import org.cellherd.pack.TimeSource;

/** How publishing stands, for other threads. Any thread. */
final class StatusBoard {

  private final String broker;
  private final TimeSource time;
  private boolean connected;
  private long sinceMs;
  private String trouble = "not connected yet";
  private long delivered;

  StatusBoard(String broker, TimeSource time) {
    this.broker = broker;
    this.time = time;
    this.sinceMs = time.wallMs();
  }

  synchronized void connected() {
    connected = true;
    sinceMs = time.wallMs();
    trouble = "";
  }

  synchronized void disconnected(String why) {
    if (connected) {
      connected = false;
      sinceMs = time.wallMs();
    }
    trouble = why;
  }

  synchronized void delivered() {
    delivered++;
  }

  synchronized MqttStatus status(Handover handover) {
    return new MqttStatus(
        broker,
        connected,
        sinceMs,
        trouble,
        handover.events().inMemory(),
        delivered,
        handover.readings().skipped());
  }
}
