package org.cellherd.mqtt;

/** Ways in which a broker may misbehave, each with what people must be told of it. */
enum Mischief {
  /** Accepts the line and says nothing. */
  SILENT("does not answer"),
  /** Accepts the line and does not even read. */
  DEAF("does not answer"),
  /** Begins its answer to CONNECT and never ends it. */
  HALF_CONNACK("does not answer"),
  /** Answers CONNECT by a packet that is none. */
  WRONG_PACKET("closed the connection|failed|does not answer|spoke"),
  /** Refuses the connection by one of the five codes of the standard. */
  REFUSES("refused|not available|does not speak"),
  /** Closes the line before anything was said. */
  HANGS_UP_AT_ONCE("closed the connection"),
  /** Breaks the line before anything was said. */
  RESETS_AT_ONCE("closed the connection|broke"),
  /** Closes the line at CONNECT. */
  CLOSES_AT_CONNECT("closed the connection"),
  /** Lets us in and closes after some packets. */
  CLOSES_LATER("closed the connection"),
  /** Lets us in, answers pings, and acknowledges no message. */
  NEVER_ACKNOWLEDGES("does not acknowledge"),
  /** Acknowledges events and not the states. */
  FORGETS_STATES("does not acknowledge"),
  /** Never acknowledges a subscription. */
  NO_SUBACK("does not acknowledge"),
  /** Refuses every subscription and does all else right. */
  REFUSES_TOPICS("refuses"),
  /** Claims a packet of 200 MB and begins to send it. */
  HUGE("longer than"),
  /** All right, but every byte is a packet of its own on the line. */
  FRAGMENTED(""),
  /** All right, but says everything twice and acknowledges what was never sent. */
  TWICE(""),
  /** All right, but sends messages that nobody asked for. */
  CHATTY(""),
  /** Sends a message at a QoS that nobody asked for, or that there is not. */
  WRONG_QUALITY("at QoS"),
  /** All right, but sends messages under topics that no text may be. */
  ODD_TOPICS(""),
  /** As a broker should. */
  GOOD("");

  private final String cause;

  Mischief(String cause) {
    this.cause = cause;
  }

  /** A pattern of what people must be told; empty where there is nothing to tell. */
  String cause() {
    return cause;
  }
}
