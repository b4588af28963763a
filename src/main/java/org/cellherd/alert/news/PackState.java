package org.cellherd.alert.news;

import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * Whether a pack is heard.
 *
 * @param word which
 * @param sinceMs since when, ms UTC
 * @param cause why, in a word such as {@code no-bytes}; empty when there is nothing to explain
 */
public record PackState(Word word, long sinceMs, String cause) {

  /** The states. */
  public enum Word implements Worded {
    /** Readings come. */
    LIVE,
    /** They should come, and do not. */
    SILENT,
    /** The board sleeps, as it does after hours of rest. */
    ASLEEP,
    /** No reading has come since the start. */
    STARTING;
  }

  /** True while readings come. */
  public boolean isLive() {
    return word == Word.LIVE;
  }

  /** The JSON of the topic {@code <pack>/state}. */
  public Facts facts() {
    return Facts.of()
        .put("state", word.word())
        .putTime("since", sinceMs)
        .put("cause", cause.isEmpty() ? null : cause)
        .build();
  }
}
