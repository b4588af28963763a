package org.cellherd.mqtt.link;

/** Logs a trouble when it is new, not each time it comes back. One thread. */
final class TroubleLog {

  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");

  /** So many connections lost at once hint at a rival. */
  private static final int SUSPICIOUS = 5;

  private final LinkSettings settings;
  private String last = "";
  private int same;

  TroubleLog(LinkSettings settings) {
    this.settings = settings;
  }

  void trouble(BrokerTrouble trouble, int failures) {
    String text = trouble.getMessage();
    if (failures == SUSPICIOUS && text.endsWith("closed the connection")) {
      LOG.log(
          System.Logger.Level.WARNING,
          text
              + " again and again; does another client use client_id "
              + settings.clientId()
              + "?");
    }
    if (text.equals(last)) {
      same++;
      return;
    }
    last = text;
    same = 1;
    LOG.log(System.Logger.Level.WARNING, text + "; trying again");
  }

  void connected() {
    String before = last.isEmpty() ? "" : " after " + same + " failed attempts";
    LOG.log(System.Logger.Level.INFO, "connected to broker " + settings.url() + before);
    last = "";
    same = 0;
  }
}
