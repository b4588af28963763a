package org.cellherd.alert.engine;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.Priority;
import org.cellherd.alert.state.Teller;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;

/**
 * Collects the events of one moment, and keeps the quota: raised and repeated messages below
 * critical in any 24 h. Critical ones are neither counted nor held back.
 */
final class Outgoing implements Teller {
  private static final long DAY_MS = 86_400_000;

  private static final int MOST_QUOTA = 1 << 20;

  private final long[] sentAgeMs;
  private final Ring sent;
  private long nowAgeMs;
  private final List<AlertEvent> events = new ArrayList<>();

  /** Nothing told yet. */
  Outgoing(int dailyQuota) {
    sentAgeMs = new long[dailyQuota];
    sent = new Ring(dailyQuota);
  }

  @Override
  public boolean hasRoom() {
    return sent.size() < sentAgeMs.length || nowAgeMs - sentAgeMs[sent.oldest(0)] >= DAY_MS;
  }

  @Override
  public void tell(AlertEvent event) {
    boolean counts = event.change() == Change.RAISED || event.change() == Change.REPEATED;
    if (counts && event.alert().priority() != Priority.CRITICAL) {
      sentAgeMs[sent.next()] = nowAgeMs;
    }
    events.add(event);
  }

  /** A new moment begins. */
  void at(long ageMs) {
    nowAgeMs = ageMs;
  }

  /** The events since the last call. */
  List<AlertEvent> take() {
    List<AlertEvent> taken = List.copyOf(events);
    events.clear();
    return taken;
  }

  /** The whole state; of another quota, the newest messages count. */
  void state(State io) {
    int quota = io.within(sentAgeMs.length, 1, MOST_QUOTA);
    Ring places = io.isRestoring() ? new Ring(quota) : sent;
    long[] saved = io.isRestoring() ? new long[quota] : sentAgeMs;
    places.state(io);
    io.each(saved);
    if (io.isRestoring()) {
      take(places, saved);
    }
  }

  private void take(Ring places, long[] saved) {
    sent.clear();
    for (int i = 0; i < places.size(); i++) {
      sentAgeMs[sent.next()] = saved[places.oldest(i)];
    }
  }
}
