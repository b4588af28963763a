package org.cellherd.app.verb;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.mqtt.BrokerFile;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.RootCheck;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.pack.Facts;

/**
 * What the broker of the config says for itself.
 *
 * @param url where it is
 * @param verdict whether it can be used
 * @param sentence why
 */
record BrokerCheck(String url, Verdict verdict, String sentence) {

  /**
   * Asks it.
   *
   * @param kept what our own runs left there
   */
  static BrokerCheck of(MqttSettings mqtt, List<PackConfig> packs, BrokerFile kept)
      throws InterruptedException {
    Set<String> ours = packs.stream().map(p -> p.plan().id()).collect(Collectors.toSet());
    String url = mqtt.link().url().toString();
    try {
      Optional<String> stranger = RootCheck.strangers(mqtt, ours, new SystemTime(), kept);
      return stranger
          .map(told -> new BrokerCheck(url, Verdict.WARN, sentenceOf(told)))
          .orElseGet(() -> new BrokerCheck(url, Verdict.OK, fine(mqtt)));
    } catch (BrokerTrouble unreachable) {
      return new BrokerCheck(
          url, Verdict.FAIL, sentenceOf(String.valueOf(unreachable.getMessage())));
    }
  }

  private static String fine(MqttSettings mqtt) {
    return "It answers, and keeps no other program's packs under " + mqtt.topics().root() + ".";
  }

  private static String sentenceOf(String text) {
    String end = text.endsWith("?") ? "" : ".";
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1) + end;
  }

  List<String> lines() {
    return List.of("Broker " + url + ":", verdict.line(sentence));
  }

  Facts facts() {
    return Facts.of().put("url", url).put("verdict", verdict.word()).put("text", sentence).build();
  }
}
