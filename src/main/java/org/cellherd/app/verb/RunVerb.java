package org.cellherd.app.verb;

import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.Lines;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.SerialLink;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.Cautions;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

@Command(
    name = "run",
    mixinStandardHelpOptions = true,
    header = "Watches all packs of the config until it is stopped.",
    description =
        "Polls the boards, stores and judges every reading, and publishes to the broker, until "
            + "Ctrl-C or SIGTERM.")
final class RunVerb implements Callable<Integer> {

  private static final System.Logger LOG = System.getLogger("org.cellherd.run");

  @Mixin private ConfigOption config;
  @Mixin private CaptureOption capture;

  @Override
  public Integer call() {
    Config loaded = config.load();
    if (loaded.packs().stream().noneMatch(p -> p.line().isPresent())) {
      throw Stop.usage(
          loaded.file() + ": no pack has a [pack.line], there is nothing to listen to");
    }
    LogLines.sumUpRepeated();
    LOG.log(System.Logger.Level.INFO, Cautions.LINE);
    SystemTime time = new SystemTime();
    CountDownLatch ended = new CountDownLatch(1);
    Signals signals = new Signals(ended);
    try (CaptureOption.Recorder recorder = capture.recorder(time)) {
      Daemon.Parts parts =
          new Daemon.Parts(
              time,
              time,
              new Decoders(loaded.file())::find,
              recorder.around(Lines.systemLinks(time)),
              List.of(new RunLog()),
              MqttListener.NONE);
      if (usesSerial(loaded)) {
        SerialLink.keepPortsUntil(ended);
      }
      boolean again = true;
      while (again) {
        try (Daemon daemon = Daemon.open(loaded, parts)) {
          signals.stop(daemon);
          watch(daemon, loaded);
          again = daemon.isToBeginAnew();
        }
      }
    } finally {
      ended.countDown();
    }
    return ExitCode.DONE;
  }

  private static void watch(Daemon daemon, Config loaded) {
    LOG.log(
        System.Logger.Level.INFO,
        "watching "
            + String.join(", ", loaded.packs().stream().map(RunVerb::told).toList())
            + "; log "
            + loaded.storeFile()
            + loaded.mqtt().map(m -> "; broker " + m.link().url()).orElse("; no broker"));
    daemon.runUntilStopped();
    LOG.log(
        System.Logger.Level.INFO,
        "stopping: committing the log"
            + loaded.mqtt().map(m -> ", disconnecting from the broker").orElse(""));
  }

  private static boolean usesSerial(Config config) {
    return config.packs().stream()
        .flatMap(pack -> pack.line().stream())
        .flatMap(line -> LinkAddress.parse(line.link()).address().stream())
        .anyMatch(LinkAddress.Serial.class::isInstance);
  }

  private static String told(PackConfig pack) {
    return pack.plan().id() + pack.line().map(l -> " on " + l.link()).orElse(" (no line)");
  }

  /** A signal runs the hook; the JVM then waits until everything is committed and said. */
  private static final class Signals {
    private final CountDownLatch ended;
    private @Nullable Daemon running;
    private boolean hasCome;

    Signals(CountDownLatch ended) {
      this.ended = ended;
    }

    /** Stops this one from now on, at once where a signal came already. */
    synchronized void stop(Daemon daemon) {
      if (running == null) {
        Runtime.getRuntime().addShutdownHook(new Thread(this::come, "stop"));
      }
      running = daemon;
      if (hasCome) {
        daemon.stop();
      }
    }

    private void come() {
      stopRunning();
      try {
        if (!ended.await(5, TimeUnit.SECONDS)) {
          LOG.log(System.Logger.Level.WARNING, "did not end in 5 s");
        }
      } catch (InterruptedException hurry) {
        Thread.currentThread().interrupt();
      }
    }

    private synchronized void stopRunning() {
      hasCome = true;
      Daemon daemon = running;
      if (daemon != null) {
        daemon.stop();
      }
    }
  }
}
