package org.cellherd.protocol.sunspec;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.cellherd.protocol.spec.Draft;

/** Words for the bits of Evt1, the same in models 802 to 804 except bit 24. */
final class EventWords {

  private static final Map<Integer, String> WORDS = new TreeMap<>();

  static {
    String[] pairs = {
      "over-temperature",
      "under-temperature",
      "over-charge current",
      "over-discharge current",
      "over-voltage",
      "under-voltage",
      "state of charge below minimum",
      "state of charge above maximum"
    };
    WORDS.put(0, "communication error");
    for (int i = 0; i < pairs.length; i++) {
      WORDS.put(1 + 2 * i, pairs[i] + " alarm");
      WORDS.put(2 + 2 * i, pairs[i] + " warning");
    }
    WORDS.put(17, "voltage imbalance warning");
    WORDS.put(18, "temperature imbalance alarm");
    WORDS.put(19, "temperature imbalance warning");
    WORDS.put(20, "contactor error");
    WORDS.put(21, "fan error");
    WORDS.put(22, "ground fault");
    WORDS.put(23, "open door");
    WORDS.put(24, "current imbalance warning");
    WORDS.put(25, "other alarm");
    WORDS.put(26, "other warning");
    WORDS.put(28, "configuration alarm");
    WORDS.put(29, "configuration warning");
  }

  private EventWords() {}

  static void extra(OptionalLong bits, Draft draft) {
    if (bits.isEmpty()) {
      return;
    }
    List<String> words = new ArrayList<>();
    for (int bit = 0; bit < 32; bit++) {
      if ((bits.getAsLong() >>> bit & 1) == 1) {
        words.add(WORDS.getOrDefault(bit, "event bit " + bit));
      }
    }
    draft.extra("events", words.isEmpty() ? "none" : String.join(", ", words));
  }
}
