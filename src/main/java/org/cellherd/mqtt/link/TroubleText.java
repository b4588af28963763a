package org.cellherd.mqtt.link;

import java.io.EOFException;
import java.io.IOException;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.util.Optional;
import java.util.Set;
import org.eclipse.paho.client.mqttv3.MqttException;

/** The client library's codes and Java's network failures in plain words. */
final class TroubleText {

  static final String CLOSED = "closed the connection";

  /** The system's words for a line closed from there, as one was reading or writing. */
  private static final Set<String> HUNG_UP =
      Set.of("Connection reset", "Connection reset by peer", "Broken pipe");

  private final LinkSettings settings;

  TroubleText(LinkSettings settings) {
    this.settings = settings;
  }

  /** One line about a failed attempt to connect. */
  BrokerTrouble ofAttempt(Throwable failure) {
    String what = what(failure);
    String hint = what.equals(CLOSED) ? "; " + otherScheme() : "";
    return new BrokerTrouble("broker " + settings.url() + " " + what + hint, failure);
  }

  BrokerTrouble of(Throwable failure) {
    return new BrokerTrouble("broker " + settings.url() + " " + what(failure), failure);
  }

  /**
   * One line about a connection that was lost. The standard has no word by which a broker says why
   * it closes one (MQTT 3.1.1, 4.8), so the usual reasons are named.
   *
   * @param unanswered what the broker had not answered yet
   */
  BrokerTrouble ofLoss(Throwable failure, Optional<String> unanswered) {
    String what = what(failure);
    if (!what.equals(CLOSED)) {
      return new BrokerTrouble("broker " + settings.url() + " " + what, failure);
    }
    String reasons =
        unanswered.map(sent -> "its rules may forbid " + sent + ", ").orElse("")
            + "it may have been stopped, or another client came with client_id '"
            + settings.clientId()
            + "'";
    String text = "broker " + settings.url() + " " + CLOSED + " without saying why: " + reasons;
    return new BrokerTrouble(text, failure);
  }

  /** One line about a broker that does not answer what it got. */
  BrokerTrouble ofSilence(String unanswered) {
    return new BrokerTrouble("broker " + settings.url() + " does not acknowledge " + unanswered);
  }

  private String otherScheme() {
    return settings.url().tls()
        ? "a port without TLS wants mqtt://"
        : "a port for TLS wants mqtts://";
  }

  private String what(Throwable failure) {
    Optional<String> tls = TlsTrouble.of(failure, settings);
    if (tls.isPresent()) {
      return tls.get();
    }
    for (Throwable t = failure; t != null; t = t.getCause()) {
      if (t instanceof IOException io) {
        return network(io);
      }
    }
    return failure instanceof MqttException e ? code(e) : "failed: " + failure;
  }

  private String network(IOException io) {
    if (io instanceof UnknownHostException) {
      return "cannot be found: no address for the name '" + settings.url().host() + "'";
    }
    if (io instanceof NoRouteToHostException) {
      return "cannot be reached: no route to it";
    }
    if (io instanceof SocketTimeoutException) {
      return "does not answer";
    }
    if (io instanceof ConnectException) {
      return "cannot be reached: " + oneLine(io) + "; does it run, and is the port right?";
    }
    if (io instanceof EOFException || HUNG_UP.contains(oneLine(io))) {
      return CLOSED;
    }
    return "connection failed: " + oneLine(io);
  }

  private String code(MqttException e) {
    return switch (e.getReasonCode()) {
      case MqttException.REASON_CODE_FAILED_AUTHENTICATION,
          MqttException.REASON_CODE_NOT_AUTHORIZED ->
          "refused the login " + who() + "; check user and password file";
      case MqttException.REASON_CODE_INVALID_CLIENT_ID ->
          "refused the client_id '" + settings.clientId() + "'";
      case MqttException.REASON_CODE_BROKER_UNAVAILABLE -> "says that it is not available now";
      case MqttException.REASON_CODE_INVALID_PROTOCOL_VERSION -> "does not speak MQTT 3.1.1";
      case MqttException.REASON_CODE_CLIENT_TIMEOUT, MqttException.REASON_CODE_WRITE_TIMEOUT ->
          "does not answer";
      case MqttException.REASON_CODE_CONNECTION_LOST,
          MqttException.REASON_CODE_CLIENT_NOT_CONNECTED ->
          CLOSED;
      default -> "failed: " + oneLine(e) + " (" + e.getReasonCode() + ")";
    };
  }

  private String who() {
    return settings.login().map(login -> "of user '" + login.user() + "'").orElse("without a user");
  }

  static String oneLine(Throwable t) {
    String message = t.getMessage();
    return message == null
        ? t.getClass().getSimpleName()
        : message.lines().findFirst().orElse("").strip();
  }
}
