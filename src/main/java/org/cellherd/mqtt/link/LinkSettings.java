package org.cellherd.mqtt.link;

import java.nio.file.Path;
import java.util.Optional;

/**
 * How to reach a broker.
 *
 * @param url where
 * @param clientId unique at the broker; a second client with the same id throws the first out
 * @param login user and password, if the broker wants one
 * @param caFile PEM file of the authority that signed the broker's certificate; without it the
 *     authorities that Java knows
 * @param timing how long to wait for what
 * @param mostWaiting messages that come in and wait to be looked at, at most
 */
public record LinkSettings(
    BrokerUrl url,
    String clientId,
    Optional<BrokerLogin> login,
    Optional<Path> caFile,
    LinkTiming timing,
    int mostWaiting) {

  /** Messages that usually wait at most; whoever sends more in one look's time is no person. */
  public static final int USUAL_WAITING = 64;

  private static final int CLIENT_ID_LENGTH = 100;

  /** Refuses a client id that brokers refuse. */
  public LinkSettings {
    if (!clientId.matches("[A-Za-z0-9_-]{1," + CLIENT_ID_LENGTH + "}")) {
      throw new IllegalArgumentException(
          "client_id '" + clientId + "' must be 1 to 100 of A-Z a-z 0-9 _ -");
    }
  }

  /** The same under another client id: a second connection beside the first. */
  public LinkSettings withClientId(String other) {
    return new LinkSettings(url, other, login, caFile, timing, mostWaiting);
  }

  /** The same for somebody who takes much in. */
  public LinkSettings withMostWaiting(int most) {
    return new LinkSettings(url, clientId, login, caFile, timing, most);
  }

  /** A refused subscription in a line for people, with what it means. */
  public String refusal(String topic, String consequence) {
    return String.join(
        " ",
        "broker",
        url.toString(),
        "refuses the subscription to",
        topic + ":",
        consequence + ";",
        "see its access rules");
  }
}
