package org.cellherd.app.config;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import org.cellherd.mqtt.AnnouncePlan;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.toml.TomlTable;

/** Reads {@code [mqtt]}. */
final class MqttReader {

  private final Function<String, Path> beside;
  private final TomlTable t;
  private final SecretFile.Reader who;

  MqttReader(Function<String, Path> beside, TomlTable table, SecretFile.Reader who) {
    this.beside = beside;
    this.t = table;
    this.who = who;
  }

  Optional<MqttSettings> read(String site) {
    MqttSettings.Builder mqtt = link(site);
    t.textIfAny("root").ifPresent(checked("root", mqtt::root));
    mqtt.publishEveryS(t.integer("publish_every_s", 1, 3600, MqttSettings.PUBLISH_EVERY_S));
    mqtt.heartbeatS(t.integer("heartbeat_s", 1, 3600, MqttSettings.HEARTBEAT_S));
    mqtt.announce(announcements());
    t.textIfAny("homie").ifPresent(mqtt::homie);
    return built(mqtt);
  }

  /** The broker alone. */
  Optional<LinkSettings> readLink(String site) {
    return built(link(site)).map(MqttSettings::link);
  }

  private Optional<MqttSettings> built(MqttSettings.Builder mqtt) {
    try {
      return Optional.of(mqtt.build());
    } catch (IllegalArgumentException wrong) {
      t.problem(String.valueOf(wrong.getMessage()));
      return Optional.empty();
    }
  }

  private MqttSettings.Builder link(String site) {
    BrokerUrl url;
    try {
      url = BrokerUrl.of(t.text("url"));
    } catch (IllegalArgumentException wrong) {
      t.problem("url", String.valueOf(wrong.getMessage()));
      url = new BrokerUrl(false, "localhost", 1883);
    }
    MqttSettings.Builder mqtt;
    try {
      mqtt = MqttSettings.builder(url, site);
    } catch (IllegalArgumentException wrongSite) {
      mqtt = MqttSettings.builder(url, "home");
    }
    t.textIfAny("client_id").ifPresent(mqtt::clientId);
    readLogin(mqtt);
    readCaFile(mqtt, url);
    return mqtt;
  }

  private Consumer<String> checked(String key, Consumer<String> setter) {
    return text -> {
      if (text.isBlank() || text.matches(".*[+#\\x00].*") || text.startsWith("/")) {
        t.problem(key, "\"" + text + "\" is no topic, allowed: words with / between, no + or #");
      } else {
        setter.accept(text);
      }
    };
  }

  private void readLogin(MqttSettings.Builder mqtt) {
    Optional<String> user = t.textIfAny("user");
    Optional<String> file = t.textIfAny("password_file");
    if (t.has("password")) {
      t.problem("password", "secrets are never in this file, write password_file = \"...\"");
    }
    if (user.isPresent() != file.isPresent()) {
      t.problem(user.isPresent() ? "user" : "password_file", "user and password_file go together");
    } else if (user.isPresent()) {
      char[] password = SecretFile.read(t, "password_file", beside.apply(file.orElseThrow()), who);
      mqtt.login(new LinkSettings.Login(user.get(), password));
      Arrays.fill(password, ' ');
    }
  }

  private void readCaFile(MqttSettings.Builder mqtt, BrokerUrl url) {
    Optional<String> file = t.textIfAny("ca_file");
    if (file.isEmpty()) {
      return;
    }
    Path path = beside.apply(file.get());
    if (!url.tls()) {
      t.problem("ca_file", "is of no use without TLS, write url = \"mqtts://...\"");
    } else if (!Files.isReadable(path)) {
      t.problem("ca_file", "cannot read " + path);
    } else {
      mqtt.caFile(path);
    }
  }

  private List<AnnouncePlan.Announce> announcements() {
    List<AnnouncePlan.Announce> list = new ArrayList<>();
    for (TomlTable table : t.tables("announce")) {
      list.add(
          new AnnouncePlan.Announce(
              table.text("topic"),
              table.text("payload"),
              table.oneOf("per", AnnouncePlan.Announce.Per.class, AnnouncePlan.Announce.Per.PACK),
              table.bool("retained", true)));
    }
    return list;
  }
}
