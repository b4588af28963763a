package org.cellherd.app.verb;

import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.RuleId;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.Lines;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.OpenMode;
import org.cellherd.store.Remarks;
import org.cellherd.store.StoredEvent;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/**
 * {@code cellherd alerts test}: one marked event down the whole path. A running daemon is asked to
 * send it through the log; without one it is sent from here.
 */
@Command(
    name = "test",
    mixinStandardHelpOptions = true,
    description = "Sends one marked event down the whole path and says whether the broker has it.")
final class AlertsTestVerb implements Callable<Integer> {

  private static final int WAIT_S = 20;

  @Mixin private ConfigOption config;
  @Mixin private AnswerOutput output;

  @Option(names = "--pack", paramLabel = "ID", description = "Of which pack; else the first.")
  private String pack = "";

  @Override
  public Integer call() throws InterruptedException {
    Config loaded = config.load();
    String id = pack.isEmpty() ? loaded.packs().get(0).plan().id() : pack;
    if (loaded.pack(id).isEmpty()) {
      throw new Stop(ExitCode.USAGE, "there is no pack \"" + id + "\"");
    }
    if (loaded.mqtt().isEmpty()) {
      throw new Stop(ExitCode.USAGE, loaded.file() + ": has no [mqtt], there is no path to test");
    }
    try {
      LogFile.open(loaded.storeFile(), OpenMode.WRITER, loaded.store()).close();
    } catch (StorageFailure failure) {
      if (failure.kind() == StorageFailure.Kind.BUSY) {
        return throughTheDaemon(loaded, id);
      }
      throw LogOptions.storeStop(failure);
    }
    return fromHere(loaded, id);
  }

  private int throughTheDaemon(Config loaded, String id) throws InterruptedException {
    SystemTime time = new SystemTime();
    try (LogFile file = LogFile.open(loaded.storeFile(), OpenMode.READER, loaded.store())) {
      List<String> before = testEvents(file, id).stream().map(e -> e.event().id()).toList();
      try (Remarks remarks = Remarks.open(loaded.storeFile(), loaded.store())) {
        String who = System.getProperty("user.name", "somebody");
        remarks.acknowledge(Daemon.testRequest(id), who, time.wallMs());
      }
      for (int i = 0; i < WAIT_S * 5; i++) {
        for (StoredEvent stored : testEvents(file, id)) {
          if (stored.delivered() && !before.contains(stored.event().id())) {
            return acknowledged(loaded, stored.event(), "the running daemon");
          }
        }
        time.sleepNanos(TimeUnit.MILLISECONDS.toNanos(200));
      }
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    throw notAcknowledged(loaded, "see the daemon's log");
  }

  private static List<StoredEvent> testEvents(LogFile file, String pack) throws StorageFailure {
    return file.events(pack, Long.MIN_VALUE, Long.MAX_VALUE).stream()
        .filter(e -> e.event().alert().key().rule() == RuleId.TEST)
        .toList();
  }

  private int fromHere(Config loaded, String id) throws InterruptedException {
    SystemTime time = new SystemTime();
    CountDownLatch delivered = new CountDownLatch(1);
    String[] trouble = {""};
    AlertEvent[] sent = new AlertEvent[1];
    MqttListener listener =
        new MqttListener() {
          @Override
          public void disconnected(String why) {
            trouble[0] = why;
          }

          @Override
          public void delivered(AlertEvent event) {
            if (event.alert().key().rule() == RuleId.TEST) {
              sent[0] = event;
              delivered.countDown();
            }
          }
        };
    try (Daemon daemon =
        Daemon.open(
            loaded,
            new Daemon.Parts(
                time,
                time,
                new Decoders(loaded.file())::find,
                Lines.systemLinks(time),
                List.of(),
                listener))) {
      daemon.test(id, System.getProperty("user.name", "somebody"));
      if (delivered.await(WAIT_S, TimeUnit.SECONDS)) {
        return acknowledged(loaded, sent[0], "this command (no daemon is running)");
      }
    }
    throw notAcknowledged(loaded, trouble[0]);
  }

  private int acknowledged(Config loaded, AlertEvent event, String by) {
    if (output.isJson()) {
      output.json(event.facts());
    } else {
      output.line(
          "The broker "
              + loaded.mqtt().orElseThrow().link().url()
              + " has acknowledged event "
              + event.id()
              + ", sent by "
              + by
              + ". Whether a person is told is up to who listens there.");
    }
    return ExitCode.DONE;
  }

  private static Stop notAcknowledged(Config loaded, String why) {
    return new Stop(
        ExitCode.BROKER,
        "The broker "
            + loaded.mqtt().orElseThrow().link().url()
            + " has not acknowledged the test within "
            + WAIT_S
            + " s: "
            + why
            + ". The event waits in the log.");
  }
}
