package org.cellherd.mqtt;

import java.util.List;
import java.util.function.Supplier;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertLog;
import org.cellherd.pack.StorageFailure;

/** Events that no broker has acknowledged yet. Called on the publisher's thread. */
public interface Outbox {

  /** Where nothing ever waits. */
  Outbox NONE =
      new Outbox() {
        @Override
        public List<AlertEvent> waiting(int most) {
          return List.of();
        }

        @Override
        public int waitingCount() {
          return 0;
        }

        @Override
        public void delivered(List<String> eventIds) {}
      };

  /** The oldest first, at most {@code most}. */
  List<AlertEvent> waiting(int most) throws StorageFailure;

  /** How many wait. */
  int waitingCount() throws StorageFailure;

  /** The broker has these; ids that are not (yet) in the outbox do no harm. */
  void delivered(List<String> eventIds) throws StorageFailure;

  /** The outbox of the alert log of the moment, which may be called from any thread. */
  static Outbox of(Supplier<AlertLog> log) {
    return new Outbox() {
      @Override
      public List<AlertEvent> waiting(int most) throws StorageFailure {
        return log.get().waiting(most);
      }

      @Override
      public int waitingCount() throws StorageFailure {
        return log.get().waitingCount();
      }

      @Override
      public void delivered(List<String> eventIds) throws StorageFailure {
        log.get().delivered(eventIds);
      }
    };
  }
}
