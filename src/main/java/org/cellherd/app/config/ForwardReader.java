package org.cellherd.app.config;

import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.Topics;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.toml.TomlTable;

/** Reads {@code [forward]}: whether the log is handed over to a centre. */
final class ForwardReader {

  private final Function<String, Path> beside;
  private final TomlTable t;
  private final SecretFile.Reader who;

  ForwardReader(Function<String, Path> beside, TomlTable table, SecretFile.Reader who) {
    this.beside = beside;
    this.t = table;
    this.who = who;
  }

  Optional<ForwardSettings> read(String site, Optional<MqttSettings> mqtt) {
    String root = t.text("root", ForwardSettings.ROOT);
    checkRoot(root, mqtt);
    int kbPerS = t.integer("kb_per_s", 1, 100_000, ForwardSettings.KB_PER_S);
    boolean keeps = t.bool("keep_until_held", false);
    Optional<LinkSettings> link =
        t.has("url")
            ? new MqttReader(beside, t, who).readLink(site)
            : mqtt.map(m -> m.link().withClientId("cellherd-" + site));
    if (link.isEmpty() && !t.has("url")) {
      t.problem("url", "is missing, and there is no [mqtt] whose broker could be used");
    }
    return link.map(
        l ->
            new ForwardSettings(
                new Lane(root, site),
                l.withClientId(l.clientId() + "-forward"),
                kbPerS,
                ForwardSettings.AGAIN_MS,
                keeps));
  }

  /** Dashboards that listen to all below their root must not get a fleet's bytes. */
  private void checkRoot(String root, Optional<MqttSettings> mqtt) {
    try {
      String dashboards = mqtt.map(m -> m.topics().root()).orElse("");
      if (new Topics(root).root().equals(dashboards) || root.startsWith(dashboards + "/")) {
        t.problem("root", "\"" + root + "\" lies under that of [mqtt], allowed: one beside it");
      }
    } catch (IllegalArgumentException wrong) {
      t.problem("root", String.valueOf(wrong.getMessage()));
    }
  }
}
