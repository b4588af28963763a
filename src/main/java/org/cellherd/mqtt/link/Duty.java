package org.cellherd.mqtt.link;

/** What is done while a connection holds. All calls come on the client's thread. */
public interface Duty {

  /** The broker lets us in: sends what comes first. */
  void online(Connection connection) throws BrokerTrouble;

  /** The broker has acknowledged something over this connection: it works. */
  void working();

  /**
   * Does what is due now, without waiting.
   *
   * @return ns until something is due again, unless woken before
   */
  long work(Connection connection) throws BrokerTrouble;

  /** The connection is gone, or could not be made: one line for people. */
  void offline(BrokerTrouble trouble);

  /**
   * The end is wanted: says goodbye, without waiting. Called again until it returns true.
   *
   * @param hurry leave out all but the goodbye
   * @return true when nothing is left to be acknowledged
   */
  boolean farewell(Connection connection, boolean hurry) throws BrokerTrouble;
}
