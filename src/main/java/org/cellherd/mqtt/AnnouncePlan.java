package org.cellherd.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Worded;

/**
 * Templates rendered once for each scope.
 *
 * @param messages what is to be published
 * @param problems one line each; the line names the template by its number, from 1
 */
public record AnnouncePlan(List<Publication> messages, List<String> problems) {

  private static final int LONGEST_TOPIC = 65_535;
  private static final JsonReader JSON =
      new JsonReader(new JsonReader.Limits(65_536, 20, 32_768, 5_000));

  public AnnouncePlan {
    messages = List.copyOf(messages);
    problems = List.copyOf(problems);
  }

  /** Renders every template of the settings: checked before anything starts. */
  public static AnnouncePlan of(MqttSettings settings, List<PackPlan> packs) {
    List<Announce> templates = settings.announce();
    List<Scope> scopes = AnnounceScopes.of(settings, packs);
    Rendering rendering = new Rendering(settings.topics().root());
    for (int i = 0; i < templates.size(); i++) {
      rendering.template("mqtt.announce " + (i + 1), templates.get(i), scopes);
    }
    return new AnnouncePlan(rendering.messages, rendering.problems);
  }

  private static final class Rendering {
    /** Nothing may be announced under it. */
    private final String ownRoot;

    private final List<Publication> messages = new ArrayList<>();
    private final List<String> problems = new ArrayList<>();
    private final Map<String, String> owners = new HashMap<>();

    Rendering(String ownRoot) {
      this.ownRoot = ownRoot;
    }

    void template(String where, Announce announce, List<Scope> scopes) {
      for (Scope scope : scopes) {
        if (scope.per() == announce.per()) {
          Optional<String> problem = scope(where, announce, scope);
          if (problem.isPresent()) {
            problems.add(where + " " + problem.get());
            return;
          }
        }
      }
    }

    private Optional<String> scope(String where, Announce announce, Scope scope) {
      Template topic = new Template(announce.topic());
      Template payload = new Template(announce.payload());
      Optional<String> problem =
          unknown("topic", topic, scope)
              .or(() -> unknown("payload", payload, scope))
              .or(() -> valueInTopic(topic, scope));
      if (problem.isPresent()) {
        return problem;
      }
      String topicText = topic.render(scope.values(), value -> value);
      String payloadText = payload.render(scope.values(), JsonText::escaped);
      problem = topicProblem(topicText).or(() -> payloadProblem(payloadText, scope));
      String owner = owners.putIfAbsent(topicText, where + " for " + scope.name());
      if (problem.isEmpty() && owner != null) {
        return Optional.of(
            "topic '" + topicText + "' is the same for " + scope.name() + " and " + owner);
      }
      messages.add(new Publication(topicText, payloadText, announce.retained()));
      return problem;
    }

    private static Optional<String> unknown(String what, Template template, Scope scope) {
      return template.unknown(scope.values()).stream()
          .findFirst()
          .map(
              name ->
                  what
                      + ": unknown placeholder "
                      + name
                      + "; known for "
                      + scope.per().word()
                      + ": "
                      + String.join(" ", scope.values().keySet().stream().sorted().toList()));
    }

    private static Optional<String> valueInTopic(Template topic, Scope scope) {
      return topic.names().stream()
          .filter(name -> scope.values().getOrDefault(name, "").matches("(?s).*[+#/\\x00].*"))
          .findFirst()
          .map(
              name ->
                  "topic: the value of ${%s} for %s holds + # or /, which no topic level may"
                      .formatted(name, scope.name()));
    }

    private Optional<String> topicProblem(String topic) {
      int length = topic.getBytes(StandardCharsets.UTF_8).length;
      if (topic.isBlank() || length > LONGEST_TOPIC || topic.matches("(?s).*[+#\\x00].*")) {
        return Optional.of("topic '" + topic + "' is empty, too long, or holds + or #");
      }
      if (topic.startsWith("$")) {
        return Optional.of("topic '" + topic + "' begins with $, which belongs to the broker");
      }
      return topic.startsWith(ownRoot + "/")
          ? Optional.of("topic '" + topic + "' lies under our own root " + ownRoot)
          : Optional.empty();
    }

    private static Optional<String> payloadProblem(String payload, Scope scope) {
      if (!payload.strip().startsWith("{") && !payload.strip().startsWith("[")) {
        return Optional.empty();
      }
      try {
        JSON.read(payload);
        return Optional.empty();
      } catch (JsonReader.Problem e) {
        return Optional.of(
            "payload for " + scope.name() + " begins like JSON and is none: " + e.getMessage());
      }
    }
  }

  /**
   * One {@code [[mqtt.announce]]} table: templates of a topic and a payload with placeholders such
   * as {@code ${pack.id}}.
   *
   * @param topic template of a full topic
   * @param payload template of a payload, JSON or any text
   * @param per how often it is rendered
   * @param retained whether the broker keeps it
   */
  public record Announce(String topic, String payload, Per per, boolean retained) {

    /** How often a template is rendered. */
    public enum Per implements Worded {
      /** Once. */
      SITE,
      /** Once for each pack. */
      PACK,
      /** Once for each cell of each pack. */
      CELL,
      /** Once for each value that a dashboard may show of each pack, with its unit. */
      VALUE
    }
  }
}
