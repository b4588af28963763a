package org.cellherd.mqtt.link;

/** The broker cannot be used now. The message is one line: which broker, what, what to look at. */
public final class BrokerTrouble extends Exception {

  /** With its cause. */
  BrokerTrouble(String message, Throwable cause) {
    super(message, cause);
  }

  /** Found by ourselves. */
  BrokerTrouble(String message) {
    super(message);
  }

  @Override
  public String getMessage() {
    return String.valueOf(super.getMessage());
  }
}
