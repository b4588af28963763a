package org.cellherd.mqtt;

import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertLog;
import org.cellherd.pack.StorageFailure;

/** Events that no broker has acknowledged yet. Called on the publisher's thread. */
public interface Outbox {

  /** The oldest first, at most {@code most}. */
  List<AlertEvent> waiting(int most) throws StorageFailure;

  /** How many wait. */
  int waitingCount() throws StorageFailure;

  /** The broker has these; ids that are not (yet) in the outbox do no harm. */
  void delivered(List<String> eventIds) throws StorageFailure;

  /** The outbox of an alert log that may be called from the publisher's thread. */
  static Outbox of(AlertLog log) {
    return new Outbox() {
      @Override
      public List<AlertEvent> waiting(int most) throws StorageFailure {
        return log.waiting(most);
      }

      @Override
      public int waitingCount() throws StorageFailure {
        return log.waitingCount();
      }

      @Override
      public void delivered(List<String> eventIds) throws StorageFailure {
        log.delivered(eventIds);
      }
    };
  }
}
