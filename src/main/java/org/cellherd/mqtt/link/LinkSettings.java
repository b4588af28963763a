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
    Optional<Login> login,
    Optional<Path> caFile,
    Timing timing,
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

  /**
   * How long a link waits for what; real time.
   *
   * @param keepAliveS seconds; a dead line is noticed within twice as long
   * @param connectMs for TCP, TLS and the broker's answer together
   * @param acknowledgeMs for the broker's acknowledgement of one message
   * @param firstRetryMs after the first failed attempt; doubles with each further one
   * @param mostRetryMs the longest pause between attempts
   */
  public record Timing(
      int keepAliveS, long connectMs, long acknowledgeMs, long firstRetryMs, long mostRetryMs) {

    /** Keep-alive 20 s, 15 s to connect, 30 s to acknowledge, retries after 1 s to 60 s. */
    public static final Timing DEFAULT = new Timing(20, 15_000, 30_000, 1_000, 60_000);

    /** Refuses what would never end or never rest. */
    public Timing {
      if (keepAliveS < 1
          || keepAliveS > 3_600
          || connectMs < 1_000
          || acknowledgeMs < 1
          || firstRetryMs < 1
          || mostRetryMs < firstRetryMs) {
        throw new IllegalArgumentException(
            "times out of range: keep-alive " + keepAliveS + " s, connect " + connectMs + " ms");
      }
    }

    /** Pause before attempt {@code failures + 1}, ms. */
    long retryMs(int failures) {
      int doublings = Math.min(Math.max(failures - 1, 0), 20);
      return Math.min(mostRetryMs, firstRetryMs << doublings);
    }
  }

  /** User and password. Never printed. */
  public static final class Login {

    private final String user;
    private final char[] password;

    /** Copies the password; the caller may then wipe its own. */
    public Login(String user, char[] password) {
      this.user = user;
      this.password = password.clone();
    }

    public String user() {
      return user;
    }

    char[] password() {
      return password.clone();
    }

    @Override
    public String toString() {
      return "Login[" + user + ", ...]";
    }
  }
}
