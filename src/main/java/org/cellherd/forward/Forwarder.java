package org.cellherd.forward;

import java.util.List;
import java.util.Map;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.mqtt.link.BrokerClient;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.store.LogFile;

/** Hands a log over to a centre, on a thread and a connection of its own. */
public final class Forwarder implements Sink, AutoCloseable {

  private final Wakeup wakeup = new Wakeup();
  private final NowBoard board;
  private final BrokerClient client;

  private Forwarder(
      ForwardSettings settings, LogFile file, String log, NowBoard board, TimeSource time) {
    this.board = board;
    this.client =
        new BrokerClient(
            "cellherd-forward",
            settings.link(),
            new Publication(settings.lane().link(), "lost", true),
            new ForwardDuty(settings, file, log, board, time),
            time,
            wakeup);
  }

  /**
   * Begins.
   *
   * @param plans each pack's plan, and what goes with it for a centre that folds again: {@code
   *     plan_text} and {@code folds}
   * @param standing alerts that stand now
   * @param time the computer's own clock
   */
  public static Forwarder start(
      ForwardSettings settings,
      LogFile file,
      Map<PackPlan, Facts> plans,
      List<Alert> standing,
      TimeSource time)
      throws StorageFailure {
    String log = file.uuid();
    NowBoard board = new NowBoard(log, plans);
    for (PackPlan plan : plans.keySet()) {
      board.heard(plan.id(), file.newestMs(plan.id()));
    }
    standing.forEach(alert -> board.alert(alert, true));
    begin(file, settings.keepsUntilHeld());
    Forwarder forwarder = new Forwarder(settings.ofLog(log), file, log, board, time);
    forwarder.client.start();
    return forwarder;
  }

  /** Before anything new is written; on a full disk later. */
  private static void begin(LogFile file, boolean keepsUntilHeld) {
    try {
      file.journal().begin(keepsUntilHeld);
    } catch (StorageFailure later) {
      System.getLogger("org.cellherd.forward")
          .log(System.Logger.Level.WARNING, "forwarding waits: log " + later.getMessage());
    }
  }

  @Override
  public void state(String pack, PackState state) {
    board.state(pack, state);
    wakeup.signal();
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    board.summary(pack, summary);
    wakeup.signal();
  }

  @Override
  public void event(AlertEvent event) {
    board.event(event);
    wakeup.signal();
  }

  @Override
  public void standing(Alert alert) {
    board.alert(alert, true);
    wakeup.signal();
  }

  /** Leaves the broker; at most 2 s. What is not held yet waits in the log. */
  @Override
  public void close() {
    client.close();
  }
}
