package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Callable;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.TestAlert;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.command.CommandCheck;
import org.cellherd.app.command.CommandRun;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.CommandHook;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.Lines;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Remarks;
import org.cellherd.store.StoredEvent;
import org.cellherd.store.sql.OpenMode;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/**
 * {@code cellherd alerts test}: one marked event down the whole path. A running daemon is asked to
 * send it through the log, and runs the programs itself; without one both is done from here.
 */
@Command(
    name = "test",
    mixinStandardHelpOptions = true,
    description =
        "Sends a test event along the whole path: says whether the broker has acknowledged it, "
            + "and runs the programs of [[alert.command]]. Exit code 1 when one of them fails.")
final class AlertsTestVerb implements Callable<Integer> {

  private static final int WAIT_S = 20;

  @Mixin private ConfigOption config;
  @Mixin private AnswerOutput output;

  @Option(names = "--pack", paramLabel = "ID", description = "Which pack; default: the first.")
  private @Nullable String pack;

  @Override
  public Integer call() throws InterruptedException, StorageFailure {
    Config loaded = config.load();
    String id = PackConfig.among(loaded.packs(), pack).plan().id();
    if (loaded.mqtt().isEmpty() && loaded.commands().isEmpty()) {
      throw Stop.usage(
          loaded.file() + ": has neither [mqtt] nor [[alert.command]], there is no path to test");
    }
    try {
      LogFile.open(loaded.storeFile(), OpenMode.WRITER, loaded.store()).close();
    } catch (StorageFailure failure) {
      if (failure.kind() == StorageFailure.Kind.BUSY) {
        return throughTheDaemon(loaded, id);
      }
      throw failure;
    }
    return fromHere(loaded, id);
  }

  private int throughTheDaemon(Config loaded, String id)
      throws InterruptedException, StorageFailure {
    SystemTime time = new SystemTime();
    try (LogFile file = LogFile.open(loaded.storeFile(), OpenMode.READER, loaded.store())) {
      List<String> before = testEvents(file, id).stream().map(e -> e.event().id()).toList();
      try (Remarks remarks = Remarks.open(loaded.storeFile(), loaded.store())) {
        String who = System.getProperty("user.name", "somebody");
        remarks.acknowledge(Daemon.testRequest(id), who, time.wallMs());
      }
      for (int i = 0; i < WAIT_S * 5; i++) {
        for (StoredEvent stored : testEvents(file, id)) {
          boolean isDone = stored.delivered() || loaded.mqtt().isEmpty();
          if (isDone && !before.contains(stored.event().id())) {
            return byTheDaemon(loaded, stored.event());
          }
        }
        time.sleepNanos(TimeUnit.MILLISECONDS.toNanos(200));
      }
    }
    throw notDone(loaded, "See the daemon's log.");
  }

  /** Whether its user may run them is seen from here, whether they end well is not. */
  private int byTheDaemon(Config loaded, AlertEvent event) {
    List<CommandCheck> checks = CommandCheck.of(loaded);
    checks.removeIf(check -> !check.table().equals("alert.command"));
    boolean isRefused = checks.stream().anyMatch(check -> check.verdict() == Verdict.FAIL);
    if (output.isJson()) {
      List<Facts> commands = checks.stream().map(CommandCheck::facts).toList();
      output.json(Facts.of().putAll(event.facts()).put("commands", commands).build());
      return isRefused ? ExitCode.NO : ExitCode.DONE;
    }
    for (CommandCheck check : checks) {
      output.line(
          check.verdict() == Verdict.FAIL
              ? check.line()
              : "The running daemon runs %s for event %s; its log says if that fails."
                  .formatted(check.program(), event.id()));
    }
    tell(loaded, event, "the running daemon");
    return isRefused ? ExitCode.NO : ExitCode.DONE;
  }

  private static List<StoredEvent> testEvents(LogFile file, String pack) throws StorageFailure {
    return file.events(pack, Long.MIN_VALUE, Long.MAX_VALUE).stream()
        .filter(e -> e.event().alert().key().rule().equals(TestAlert.ID))
        .toList();
  }

  private int fromHere(Config loaded, String id) throws InterruptedException {
    SystemTime time = new SystemTime();
    Listener listener = new Listener();
    List<AlertEvent> sent = new ArrayList<>();
    Sink sink =
        new Sink() {
          @Override
          public void event(AlertEvent event) {
            if (event.alert().key().rule().equals(TestAlert.ID)) {
              sent.add(event);
            }
          }
        };
    try (Daemon daemon =
        Daemon.open(
            loaded.withBrokerAlone(),
            new Daemon.Parts(
                time,
                time,
                new Decoders(loaded.file())::find,
                Lines.systemLinks(time),
                List.of(sink),
                listener))) {
      daemon.test(id, System.getProperty("user.name", "somebody"));
      AlertEvent event = sent.get(0);
      List<Ran> ran = run(CommandHook.runs(loaded.commands(), event));
      if (loaded.mqtt().isEmpty() || listener.hasDelivered(event.id(), time)) {
        return byThisCommand(loaded, event, ran);
      }
    }
    throw notDone(loaded, "Last trouble: " + listener.trouble);
  }

  private int byThisCommand(Config loaded, AlertEvent event, List<Ran> ran) {
    if (output.isJson()) {
      List<Facts> commands = ran.stream().map(r -> r.run().facts(r.trouble())).toList();
      output.json(Facts.of().putAll(event.facts()).put("commands", commands).build());
    } else {
      tell(loaded, event, "this command (no daemon is running)");
    }
    return ran.stream().allMatch(r -> r.trouble().isEmpty()) ? ExitCode.DONE : ExitCode.NO;
  }

  /** A program that was run from here, and what went wrong; empty for nothing. */
  private record Ran(CommandRun run, String trouble) {
    String line() {
      return String.format(
          Locale.ROOT,
          "  %-4s  %s, run as %s: %s",
          trouble.isEmpty() ? "OK" : "FAIL",
          run.name(),
          System.getProperty("user.name", "you"),
          trouble.isEmpty() ? "ended without error" : trouble);
    }
  }

  private List<Ran> run(List<CommandRun> runs) throws InterruptedException {
    List<Ran> ran = new ArrayList<>();
    for (CommandRun run : runs) {
      ran.add(new Ran(run, run.trouble()));
    }
    if (!output.isJson()) {
      // Before the broker is waited for.
      ran.forEach(r -> output.line(r.line()));
      output.out().flush();
    }
    return ran;
  }

  private void tell(Config loaded, AlertEvent event, String by) {
    loaded
        .mqtt()
        .ifPresent(
            mqtt ->
                output.line(
                    "The broker "
                        + mqtt.link().url()
                        + " has acknowledged event "
                        + event.id()
                        + ", sent by "
                        + by
                        + ". Whether a person hears of it is up to who listens there."));
  }

  private static Stop notDone(Config loaded, String why) {
    String broken =
        loaded
            .mqtt()
            .map(mqtt -> "The broker " + mqtt.link().url() + " has not acknowledged the test")
            .orElse("The running daemon has not taken up the test");
    return new Stop(
        loaded.mqtt().isPresent() ? ExitCode.BROKER : ExitCode.NO,
        broken + " within " + WAIT_S + " s; the event waits in the log. " + why);
  }

  /** What the broker acknowledged; an event of an earlier test may be among it. */
  private static final class Listener implements MqttListener {
    private final BlockingQueue<String> delivered = new LinkedBlockingQueue<>();
    private volatile String trouble = "";

    @Override
    public void disconnected(String why) {
      trouble = why;
    }

    @Override
    public void delivered(AlertEvent event) {
      delivered.add(event.id());
    }

    boolean hasDelivered(String event, SystemTime time) throws InterruptedException {
      long untilNanos = time.monotonicNanos() + TimeUnit.SECONDS.toNanos(WAIT_S);
      String id;
      do {
        id = delivered.poll(untilNanos - time.monotonicNanos(), TimeUnit.NANOSECONDS);
      } while (id != null && !id.equals(event));
      return id != null;
    }
  }
}
