package org.cellherd.page;

import java.util.List;

/**
 * Whether a pack is heard.
 *
 * @param state {@code live}, {@code silent}, {@code asleep} or {@code starting}
 * @param sinceMs since when, ms UTC
 * @param cause why, in words for people; empty when there is nothing to explain
 */
public record Presence(String state, long sinceMs, String cause) {

  /** The states' words. */
  public static final List<String> STATES = List.of("live", "silent", "asleep", "starting");

  /** Refuses a word that is none. */
  public Presence {
    if (!STATES.contains(state)) {
      throw new IllegalArgumentException("no state " + state);
    }
  }

  /** True while readings come. */
  public boolean isLive() {
    return state.equals("live");
  }
}
