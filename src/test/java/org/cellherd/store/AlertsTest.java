package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertLog;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AlertsTest {

  @TempDir Path folder;
  private Path file;

  @BeforeEach
  void nameTheFile() {
    file = folder.resolve("log.db");
  }

  /** Raised alerts, each with its event. */
  static List<AlertEvent> someEvents(int count) {
    List<AlertEvent> events = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      events.add(event("alert-" + i, Change.RAISED, AlertState.ACTIVE));
    }
    return events;
  }

  private static AlertEvent event(String alertId, Change change, AlertState state) {
    Alert alert =
        new Alert(
            alertId,
            new AlertKey("a", CellHigh.ID, 3),
            state,
            Priority.CRITICAL,
            T0,
            T0 + 5000,
            3655.5,
            Double.NaN,
            "mV",
            "Cell 3 is high",
            "lower the charge current",
            Facts.of().put("cell_mv", 3655.5, 1).putTime("at", T0).putUnknown("eta_h").build(),
            Optional.empty(),
            true);
    return new AlertEvent(alertId + "/" + change.word(), change, alert);
  }

  @Test
  void alertsStandAfterARestartAsTheyWereCommitted() throws StorageFailure {
    AlertEvent raised = event("x", Change.RAISED, AlertState.ACTIVE);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.alertLog().commit(List.of(raised));
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.alertLog().standing()).containsExactly(raised.alert());
      assertThat(log.alertLog().waiting(10)).containsExactly(raised);
    }
  }

  @Test
  void anAlertThatIsOverStandsNoMore() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      AlertLog alerts = log.alertLog();
      alerts.commit(List.of(event("x", Change.RAISED, AlertState.ACTIVE)));
      alerts.commit(List.of(event("x", Change.RETURNED, AlertState.RETURNED)));
      assertThat(alerts.standing()).hasSize(1);

      alerts.commit(List.of(event("x", Change.CLEARED, AlertState.NORMAL)));
      alerts.commit(List.of(event("n", Change.NOTICE, AlertState.NORMAL)));

      assertThat(alerts.standing()).isEmpty();
      assertThat(alerts.waitingCount()).isEqualTo(4);
    }
  }

  @Test
  void anEventToldTwiceIsOne() throws StorageFailure {
    AlertEvent raised = event("x", Change.RAISED, AlertState.ACTIVE);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.alertLog().commit(List.of(raised));
      log.alertLog().commit(List.of(event("x", Change.CLEARED, AlertState.NORMAL)));
      log.alertLog().delivered(List.of(raised.id()));

      log.alertLog().commit(List.of(raised));

      assertThat(log.alertLog().standing()).isEmpty();
      assertThat(log.alertLog().waiting(10))
          .extracting(AlertEvent::id)
          .containsExactly("x/cleared");
    }
  }

  @Test
  void theOutboxKeepsItsOrderAndGivesUpWhatWasDelivered() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<AlertEvent> events = someEvents(30);
      log.alertLog().commit(events);

      log.alertLog().delivered(List.of(events.get(0).id(), events.get(2).id(), "unknown"));

      assertThat(log.alertLog().waitingCount()).isEqualTo(28);
      assertThat(log.alertLog().waiting(2)).containsExactly(events.get(1), events.get(3));
    }
  }

  @Test
  void anAcknowledgementOfAnotherProcessIsTakenUpOnce() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.writer().newAcknowledgements()).isEmpty();
      try (Remarks beside = Remarks.open(file, StoreSettings.DEFAULT)) {
        beside.acknowledge("x", "n".repeat(100), T0);
        beside.add(new Note("a", T0, "me", "cell 3 replaced"));
      }

      assertThat(log.writer().newAcknowledgements())
          .containsExactly(new Remarks.Acknowledgement("x", "n".repeat(80), T0));
      assertThat(log.writer().newAcknowledgements()).isEmpty();
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE))
          .containsExactly(new Note("a", T0, "me", "cell 3 replaced"));
    }
  }
}
