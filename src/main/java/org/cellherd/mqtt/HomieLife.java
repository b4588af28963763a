package org.cellherd.mqtt;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/** Each pack's {@code $state} while we are connected. Any thread. */
final class HomieLife {

  private final Map<String, String> words = new ConcurrentHashMap<>();

  /**
   * Notes whether a pack is heard.
   *
   * @param state {@code live}, {@code silent}, {@code asleep} or {@code starting}
   */
  void put(String pack, String state) {
    words.put(
        pack,
        switch (state) {
          case "live" -> "ready";
          case "silent" -> "lost";
          case "asleep" -> "sleeping";
          default -> "init";
        });
  }

  String of(String pack) {
    return words.getOrDefault(pack, "init");
  }
}
