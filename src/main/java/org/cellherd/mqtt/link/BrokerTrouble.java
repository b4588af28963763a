package org.cellherd.mqtt.link;

/** The broker cannot be used now. The message is one line: which broker, what, what to look at. */
public final class BrokerTrouble extends Exception {

  BrokerTrouble(String message, Throwable cause) {
    super(message, cause);
  }

  public BrokerTrouble(String message) {
    super(message);
  }

  /** True when the broker sent more than we would ever read. */
  public boolean isFlood() {
    for (Throwable t = getCause(); t != null; t = t.getCause()) {
      if (t instanceof PacketGuard.TooLong) {
        return true;
      }
    }
    return false;
  }

  /** True when the broker closed the line, for reasons of its own. */
  boolean isClosing() {
    return getMessage().contains(TroubleText.CLOSED);
  }

  @Override
  public String getMessage() {
    return String.valueOf(super.getMessage());
  }
}
