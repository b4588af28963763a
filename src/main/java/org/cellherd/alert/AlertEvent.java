package org.cellherd.alert;

import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * A change of an alert, told once in effect: published with QoS 1 and kept in the outbox until the
 * broker acknowledged it. Its id is deterministic, so that a repeat after a crash is harmless.
 *
 * @param id unique over all runs, made of the alert's id, the change and its count
 * @param change what happened
 * @param alert the alert after the change
 */
public record AlertEvent(String id, Change change, Alert alert) {

  /** Stands in the id of an alert that imported readings gave: no id of a run has it. */
  public static final String JUDGED_MARK = ".imported-";

  /** What happened to an alert. */
  public enum Change implements Worded {
    /** The on-delay has passed. */
    RAISED,
    /** Still so and not acknowledged, or so again within two hours of its end. */
    REPEATED,
    /** It got worse: a higher level; an acknowledgement of the milder one no longer counts. */
    ESCALATED,
    /** Somebody saw it. */
    ACKNOWLEDGED,
    /** Over, but critical and not acknowledged. */
    RETURNED,
    /** Over. */
    CLEARED,
    /** A single notice that has no state, such as a restart or a test. */
    NOTICE;

    /** For people: that an end was not acknowledged; its own word reads as if it had come back. */
    public String spoken() {
      return this == RETURNED ? "over, not acknowledged" : word();
    }
  }

  /** The event's JSON of the topic {@code <pack>/event}. */
  public Facts facts() {
    return Facts.of().put("event", id).put("change", change.word()).putAll(alert.facts()).build();
  }

  /** True when an alert stands (is retained under its topic) after this event. */
  public boolean stands() {
    return change != Change.CLEARED && change != Change.NOTICE;
  }
}
