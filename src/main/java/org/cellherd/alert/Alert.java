package org.cellherd.alert;

import java.util.Optional;
import org.cellherd.pack.Facts;

/**
 * One alert as it stands: what is published as its JSON.
 *
 * @param id the same from pending to over, also after a restart; never derived from time alone
 * @param key which alert
 * @param state where it stands
 * @param priority how bad
 * @param sinceMs when the condition began, ms UTC
 * @param timeMs when it was last confirmed, or when it was over or this event happened, ms UTC
 * @param value the value that matters, in {@code unit}; NaN when there is none
 * @param limit the limit it is compared with, in {@code unit}; NaN when there is none
 * @param unit such as {@code mV}
 * @param text what, which cell, how bad, since when: one wording for log, MQTT, page and report
 * @param firstStep what to do first; empty when it is over
 * @param evidence the numbers behind it
 * @param acknowledgedBy who saw it
 * @param clockSure false when the time may be wrong
 */
public record Alert(
    String id,
    AlertKey key,
    AlertState state,
    Priority priority,
    long sinceMs,
    long timeMs,
    double value,
    double limit,
    String unit,
    String text,
    String firstStep,
    Facts evidence,
    Optional<String> acknowledgedBy,
    boolean clockSure) {

  public Alert named(String otherId) {
    return with(otherId, state, timeMs, text);
  }

  /** The same, over from a time on: nothing judges it any more, and the text says why. */
  public Alert ended(long atMs, String why) {
    return with(id, AlertState.NORMAL, atMs, why + text);
  }

  public Alert saying(String otherText) {
    return with(id, state, timeMs, otherText);
  }

  private Alert with(String otherId, AlertState otherState, long otherMs, String otherText) {
    return new Alert(
        otherId,
        key,
        otherState,
        priority,
        sinceMs,
        otherMs,
        value,
        limit,
        unit,
        otherText,
        firstStep,
        evidence,
        acknowledgedBy,
        clockSure);
  }

  /** How the text of an alert begins whose condition holds no more while it is not over yet. */
  public static final String GONE = "No longer the case since ";

  /** True while the condition holds no more, and it waits whether it comes back. */
  public boolean isGone() {
    return state != AlertState.RETURNED && text.startsWith(GONE);
  }

  /** The alert's JSON of the topic {@code <pack>/alert/...}. */
  public Facts facts() {
    Facts.Builder b =
        Facts.of().put("id", id).put("rule", key.rule().word()).put("pack", key.pack());
    if (key.cell() == 0) {
      b.putUnknown("cell");
    } else {
      b.put("cell", key.cell());
    }
    return b.put("state", state.word())
        .put("priority", priority.word())
        .putTime("since", sinceMs)
        .putTime("time", timeMs)
        .put("value", value, 3)
        .put("limit", limit, 3)
        .put("unit", unit)
        .put("text", text)
        .put("first_step", firstStep)
        .put("evidence", evidence)
        .put("acknowledged_by", acknowledgedBy.orElse(null))
        .put("clock", clockSure ? "sure" : "unsure")
        .build();
  }
}
