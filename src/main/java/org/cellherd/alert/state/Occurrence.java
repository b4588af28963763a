package org.cellherd.alert.state;

import java.util.EnumMap;
import java.util.Map;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.analysis.state.State;

/**
 * The names of an alert and of its events: pack, rule, cell, run and a count within the run. Runs
 * are numbered by the log and never twice, so no name comes back, and the same log gives the same
 * names.
 */
final class Occurrence {
  private final AlertKey key;
  private String id = "";
  private long session;
  private long number;
  private long eventSession;
  private final Map<Change, Long> told = new EnumMap<>(Change.class);

  Occurrence(AlertKey key) {
    this.key = key;
  }

  void begin(long runNow) {
    if (session != runNow) {
      session = runNow;
      number = 0;
    }
    number++;
    String cell = key.cell() == 0 ? "" : "." + key.cell();
    id = key.pack() + "." + key.rule().word() + cell + "." + session + "-" + number;
    told.clear();
  }

  /** Goes on with an occurrence that another run began. */
  void adopt(String alertId) {
    id = alertId;
    told.clear();
  }

  String id() {
    return id;
  }

  /** The next event's name; counts. */
  String event(Change change, long runNow) {
    if (eventSession != runNow) {
      eventSession = runNow;
      told.clear();
    }
    long count = told.merge(change, 1L, Long::sum);
    return id + ":" + change.word() + "-" + runNow + "." + count;
  }

  void state(State io) {
    id = io.text(id);
    session = io.number(session);
    number = io.number(number);
    eventSession = io.number(eventSession);
    for (Change change : Change.values()) {
      told.put(change, io.number(told.getOrDefault(change, 0L)));
    }
  }
}
