package org.cellherd.alert.state;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.Priority;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

/**
 * Collects the events of one moment, and keeps the quota: raised and repeated messages below
 * critical in any 24 h. Critical ones are neither counted nor held back.
 */
public final class Outgoing implements Teller {
  private static final long DAY_MS = 86_400_000;

  private final long[] sentAgeMs;
  private long sent;
  private long nowAgeMs;
  private final List<AlertEvent> events = new ArrayList<>();

  /** Nothing told yet. */
  public Outgoing(int dailyQuota) {
    sentAgeMs = new long[dailyQuota];
  }

  @Override
  public boolean hasRoom() {
    int size = sentAgeMs.length;
    return sent < size || nowAgeMs - sentAgeMs[(int) (sent % size)] >= DAY_MS;
  }

  @Override
  public void tell(AlertEvent event) {
    boolean counts = event.change() == Change.RAISED || event.change() == Change.REPEATED;
    if (counts && event.alert().priority() != Priority.CRITICAL) {
      sentAgeMs[(int) (sent % sentAgeMs.length)] = nowAgeMs;
      sent++;
    }
    events.add(event);
  }

  /** A new moment begins. */
  public void at(long ageMs) {
    nowAgeMs = ageMs;
  }

  /** The events since the last call. */
  public List<AlertEvent> take() {
    List<AlertEvent> taken = List.copyOf(events);
    events.clear();
    return taken;
  }

  /** Writes the whole state. */
  public void save(StateWriter out) {
    out.putLong(sent).putLongs(sentAgeMs);
  }

  /** Takes a saved state; of another quota, the newest messages count. */
  public void restore(StateReader in) {
    long savedSent = in.getLong();
    long[] saved = in.getLongs();
    if (saved.length == 0 || savedSent < 0) {
      throw new StateMismatch("a quota of " + saved.length);
    }
    int known = (int) Math.min(savedSent, Math.min(saved.length, sentAgeMs.length));
    for (int i = 0; i < known; i++) {
      sentAgeMs[i] = saved[(int) ((savedSent - known + i) % saved.length)];
    }
    sent = known;
  }
}
