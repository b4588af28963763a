package org.cellherd.mqtt;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.PackPlan;

/**
 * The {@code [mqtt]} table of the config.
 *
 * @param site name of the site, used in announcements and in the client id
 * @param topics topics under the configured root
 * @param link how to reach the broker
 * @param publishEveryS seconds between two readings of a pack
 * @param heartbeatS seconds between two heartbeats
 * @param announce announcements for dashboards
 * @param homie first topic word of the Homie tree; empty when it is off
 */
public record MqttSettings(
    String site,
    Topics topics,
    LinkSettings link,
    int publishEveryS,
    int heartbeatS,
    List<AnnouncePlan.Announce> announce,
    Optional<String> homie) {

  /** Default of {@code publish_every_s}. */
  public static final int PUBLISH_EVERY_S = 10;

  /** Default of the heartbeat's period. */
  public static final int HEARTBEAT_S = 60;

  private static final int LONGEST_PERIOD_S = 3_600;

  /** Refuses periods that are none. */
  public MqttSettings {
    if (publishEveryS < 1 || publishEveryS > LONGEST_PERIOD_S) {
      throw new IllegalArgumentException(
          "publish_every_s " + publishEveryS + ", allowed 1 to " + LONGEST_PERIOD_S);
    }
    if (heartbeatS < 1 || heartbeatS > LONGEST_PERIOD_S) {
      throw new IllegalArgumentException(
          "heartbeat " + heartbeatS + " s, allowed 1 to " + LONGEST_PERIOD_S);
    }
    announce = List.copyOf(announce);
    homie.ifPresent(HomiePublisher::requireDomain);
  }

  /**
   * A builder with the defaults.
   *
   * @param site a-z, 0-9 and hyphen
   * @throws IllegalArgumentException when the site is not
   */
  public static Builder builder(BrokerUrl url, String site) {
    return new Builder(url, site);
  }

  /**
   * The same with a client id that no other log has, unless the config names one: of two clients
   * with one id a broker throws the first out.
   *
   * @param logId UUID of the log
   */
  public MqttSettings ofLog(String logId) {
    LinkSettings own =
        link.clientId().equals(usualClientId(site))
            ? link.withClientId(link.clientId() + "-" + logId.substring(0, 8))
            : link;
    return new MqttSettings(site, topics, own, publishEveryS, heartbeatS, announce, homie);
  }

  private static String usualClientId(String site) {
    return "cellherd-" + site;
  }

  /** Seconds after which a published reading is stale. */
  public long validS() {
    return Math.max(30, 3L * publishEveryS);
  }

  /** Collects settings. Not for use by two threads. */
  public static final class Builder {
    private final BrokerUrl url;
    private final String site;
    private String root;
    private String clientId;
    private Optional<LinkSettings.Login> login = Optional.empty();
    private Optional<Path> caFile = Optional.empty();
    private LinkSettings.Timing timing = LinkSettings.Timing.DEFAULT;
    private int publishEveryS = PUBLISH_EVERY_S;
    private int heartbeatS = HEARTBEAT_S;
    private List<AnnouncePlan.Announce> announce = List.of();
    private Optional<String> homie = Optional.empty();

    private Builder(BrokerUrl url, String site) {
      if (!PackPlan.isId(site)) {
        throw new IllegalArgumentException("site '" + site + "' must be " + PackPlan.ID_WORDS);
      }
      this.url = url;
      this.site = site;
      this.root = "cellherd/" + site;
      this.clientId = usualClientId(site);
    }

    /** Sets the topic root; a slash at its end is ignored. */
    public Builder root(String value) {
      root = value.endsWith("/") ? value.substring(0, value.length() - 1) : value;
      return this;
    }

    /** Sets the client id; one program each. */
    public Builder clientId(String value) {
      clientId = value;
      return this;
    }

    public Builder login(LinkSettings.Login value) {
      login = Optional.of(value);
      return this;
    }

    /** Sets the PEM file of the authority that signed the broker's certificate. */
    public Builder caFile(Path value) {
      caFile = Optional.of(value);
      return this;
    }

    public Builder timing(LinkSettings.Timing value) {
      timing = value;
      return this;
    }

    /** Sets the seconds between two readings of a pack. */
    public Builder publishEveryS(int value) {
      publishEveryS = value;
      return this;
    }

    /** Sets the seconds between two heartbeats. */
    public Builder heartbeatS(int value) {
      heartbeatS = value;
      return this;
    }

    public Builder announce(List<AnnouncePlan.Announce> value) {
      announce = value;
      return this;
    }

    /** Switches the Homie tree on, under this first topic word (usually {@code homie}). */
    public Builder homie(String domain) {
      homie = Optional.of(domain);
      return this;
    }

    public MqttSettings build() {
      return new MqttSettings(
          site,
          new Topics(root),
          new LinkSettings(url, clientId, login, caFile, timing, LinkSettings.USUAL_WAITING),
          publishEveryS,
          heartbeatS,
          announce,
          homie);
    }
  }
}
