package org.cellherd.app.daemon;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import java.util.function.Function;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.config.PlanText;
import org.cellherd.board.BoardListener;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.Link;
import org.cellherd.forward.Forwarder;
import org.cellherd.mqtt.BrokerFile;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.mqtt.MqttPublisher;
import org.cellherd.mqtt.Outbox;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.page.LocalPage;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;
import org.jspecify.annotations.Nullable;

/**
 * A running cellherd: the lines, the herd and the sinks, and the threads between them.
 *
 * <pre>
 * line threads ─► Inbox ─► "herd" thread: analysis, alerts, log ─► broker, commands, page
 * </pre>
 *
 * Driven either by its own threads ({@link #runUntilStopped}) or step by step on a simulated clock
 * ({@link FastForward}).
 */
public final class Daemon implements AutoCloseable {

  private static final Logger LOG = System.getLogger(Daemon.class.getName());
  private static final int MOST_WAITING_READINGS = 2_000;
  private static final long TICK_NANOS = 1_000_000_000L;

  /** Events so old may still explain what is seen. */
  private static final long LATELY_MS = 7 * 86_400_000L;

  private final Config config;
  private final TimeSource time;
  private final Inbox inbox = new Inbox(MOST_WAITING_READINGS, false);
  private final SessionClock clock;
  private final LogKeeper keeper;
  private final Lines lines;
  private final @Nullable MqttPublisher publisher;
  private final CommandHook commands;
  private final @Nullable LocalPage page;
  private final Sinks sinks;
  private final Herd herd;
  private final Optional<WholeLog> wholeLog;
  private final Optional<MorningCall> morning;
  private final AtomicBoolean stopping = new AtomicBoolean();
  private final List<Thread> lineThreads = new ArrayList<>();
  private final List<Runnable> toClose;
  private volatile boolean allIsWell;
  private volatile boolean isToBeginAnew;
  private volatile String logTrouble = "";
  private long tickedNanos;
  private boolean closed;

  /** What differs between a real run, a demo and a test. */
  public record Parts(
      TimeSource time,
      TimeSource computerTime,
      Lines.DecoderFinder decoders,
      Function<LineConfig, Link> links,
      List<Sink> sinks,
      MqttListener mqttListener) {
    public Parts {
      sinks = List.copyOf(sinks);
    }
  }

  private Daemon(
      Config config, Parts parts, Lines.Wiring wiring, LogKeeper keeper, List<Runnable> toClose)
      throws StorageFailure {
    this.config = config;
    this.toClose = toClose;
    this.time = parts.time();
    this.keeper = keeper;
    LogFile file = keeper.file();
    this.clock = new SessionClock(time, known(file, config));
    tellClock();
    this.lines = Lines.of(wiring, parts.links(), new LineClock(time, clock::lineMs), new ToInbox());
    this.commands =
        new CommandHook(
            config.commands(), config.morning().map(Config.Morning::run).orElse(List.of()));
    // The broker first: whoever waits for an alert waits there.
    List<Sink> all = new ArrayList<>();
    this.publisher = publisher(parts);
    if (publisher != null) {
      all.add(publisher);
      // It still marks deliveries in the log, so it is closed first.
      toClose.add(publisher::close);
    }
    all.addAll(parts.sinks());
    // A stand-in is no log that a centre should hear of.
    Forwarder forwarder = keeper.standsIn() ? null : forwarder(parts);
    if (forwarder != null) {
      all.add(forwarder);
      toClose.add(forwarder::close);
    }
    all.add(commands);
    toClose.add(commands::close);
    this.page = ServedPage.open(config, this::seen, this::health, time).orElse(null);
    if (page != null) {
      all.add(page.news());
      toClose.add(page::close);
    }
    this.sinks = new Sinks(all);
    this.herd =
        new Herd(
            config.packs(),
            config.banks(),
            keeper,
            sinks,
            clock,
            time,
            (pack, pace) -> lines.setPace(pack, pace));
    if (page != null) {
      ServedPage.serve(page, herd.watches(), file.alertLog().standing(), lately(file));
    }
    herd.begin();
    this.wholeLog = wholeLog();
    this.morning = config.morning().map(m -> new MorningCall(m, config.zone(), clock.nowMs()));
    this.tickedNanos = time.monotonicNanos();
  }

  /**
   * Opens the log, takes up where it ended and begins to publish; no line is polled yet. A log that
   * cannot be opened is no reason not to watch: readings wait in memory until it can.
   *
   * @throws Stop with exit code 4 when the log is not ours to write, 2 when a description is
   *     missing
   */
  public static Daemon open(Config config, Parts parts) {
    Lines.Wiring wiring = new Lines.Wiring(config.packs(), parts.decoders());
    try {
      LogKeeper keeper = LogKeeper.open(config);
      try {
        return begun(config, parts, wiring, keeper);
      } catch (StorageFailure failure) {
        return begun(config, parts, wiring, keeper.afterDamage(config, failure));
      }
    } catch (StorageFailure failure) {
      throw new Stop(ExitCode.STORE, "log " + failure.getMessage());
    }
  }

  private static Daemon begun(Config config, Parts parts, Lines.Wiring wiring, LogKeeper keeper)
      throws StorageFailure {
    List<Runnable> toClose = new ArrayList<>();
    try {
      return new Daemon(config, parts, wiring, keeper, toClose);
    } catch (StorageFailure failure) {
      toClose.forEach(Runnable::run);
      throw failure;
    } catch (Stop stop) {
      toClose.forEach(Runnable::run);
      keeper.close();
      throw stop;
    }
  }

  private void tellClock() {
    long aheadMs = clock.logAheadMs();
    if (aheadMs > SessionClock.STEP_MS) {
      boolean follow = time.isWallSure() || clock.isWallBetter();
      keeper.tell(
          "The newest entry in the log is "
              + Spoken.duration(aheadMs)
              + " ahead of this computer's clock. "
              + (follow
                  ? "New readings are dated by the clock."
                  : "New readings are dated from that entry on until the clock is set."),
          "Check this computer's clock. To correct readings that a wrong clock dated, stop cellherd"
              + " and use: cellherd redate.");
    }
  }

  private static SessionClock.Known known(LogFile file, Config config) throws StorageFailure {
    return new SessionClock.Known(newest(file, config), file.writer().clockFloorMs());
  }

  private static long newest(LogFile file, Config config) throws StorageFailure {
    long newest = Long.MIN_VALUE;
    for (PackConfig pack : config.packs()) {
      OptionalLong ms = file.writer().newestMs(pack.plan().id());
      newest = Math.max(newest, ms.orElse(Long.MIN_VALUE));
    }
    return newest;
  }

  /** What happened to alerts in the days before: the page shows it after a restart, too. */
  private List<AlertEvent> lately(LogFile file) throws StorageFailure {
    long now = clock.nowMs();
    return file.events(now - LATELY_MS, now).stream().map(StoredEvent::event).toList();
  }

  private Optional<WholeLog> wholeLog() {
    List<PackWatch> partial = herd.partial();
    return partial.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new WholeLog(
                config.storeFile(),
                herd.session(),
                partial,
                (whole, found) -> inbox.put(() -> herd().complete(whole, found))));
  }

  private @Nullable MqttPublisher publisher(Parts parts) throws StorageFailure {
    if (config.mqtt().isEmpty()) {
      return null;
    }
    BrokerFile memory = BrokerFile.beside(config.storeFile());
    return MqttPublisher.start(
        config.mqtt().get().ofLog(keeper.file().uuid()),
        new MqttPublisher.Parts(
            config.packs().stream().map(PackConfig::plan).toList(),
            Outbox.of(() -> keeper.file().alertLog()),
            this::seen,
            memory,
            parts.computerTime(),
            this::diskFreeMb,
            parts.mqttListener()),
        keeper.file().alertLog().standing());
  }

  private @Nullable Forwarder forwarder(Parts parts) throws StorageFailure {
    if (config.forward().isEmpty()) {
      return null;
    }
    Map<PackPlan, Facts> plans = new LinkedHashMap<>();
    config.packs().forEach(p -> plans.put(p.plan(), forCentre(p)));
    return Forwarder.start(
        config.forward().get(),
        keeper.file(),
        plans,
        keeper.file().alertLog().standing(),
        parts.computerTime());
  }

  /** What a centre needs to fold a pack's log as this program does, and when it need not. */
  private Facts forCentre(PackConfig pack) {
    return Facts.of()
        .put("plan_text", PlanText.of(pack))
        .put("folds", new PackAnalysis(pack.plan(), pack.analysis()).versions())
        .build();
  }

  /** Somebody saw an alert; any thread. */
  private void seen(String alertId, String by, Consumer<Acknowledger.Seen> answer) {
    inbox.put(() -> answer.accept(herd().acknowledge(alertId, by)));
  }

  /** Any thread. */
  private LocalPage.Health health() {
    Optional<MqttPublisher> mqtt = Optional.ofNullable(publisher);
    OptionalLong freeMb = diskFreeMb();
    return new LocalPage.Health(
        logTrouble,
        mqtt.map(MqttPublisher::isConnected),
        mqtt.map(m -> OptionalLong.of(m.eventsInMemory())).orElseGet(OptionalLong::empty),
        freeMb.isPresent() ? OptionalLong.of(freeMb.getAsLong() << 20) : freeMb);
  }

  /** For callbacks that are made before the constructor has ended and run only after it. */
  private Herd herd() {
    return herd;
  }

  private OptionalLong diskFreeMb() {
    try {
      Path folder = config.storeFile().toAbsolutePath().getParent();
      return folder == null
          ? OptionalLong.empty()
          : OptionalLong.of(Files.getFileStore(folder).getUsableSpace() >> 20);
    } catch (IOException unknown) {
      return OptionalLong.empty();
    }
  }

  /** Starts the line threads and works until {@link #stop}. */
  public void runUntilStopped() {
    for (LinePoller poller : lines.pollers()) {
      Thread thread = new Thread(poller, "line-" + (lineThreads.size() + 1));
      thread.setDaemon(true);
      lineThreads.add(thread);
      thread.start();
    }
    Optional<DeadMan> deadMan =
        config
            .deadMan()
            .map(d -> new DeadMan(d.address(), d.everySeconds(), () -> allIsWell, time));
    try (Watchdog watchdog = new Watchdog(time, () -> Runtime.getRuntime().halt(70))) {
      boolean hasRehearsed = false;
      while (!stopping.get()) {
        work(100);
        if (!hasRehearsed && inbox.isEmpty()) {
          hasRehearsed = true;
          config.packs().stream().findFirst().ifPresent(this::rehearse);
        }
        watchdog.feed();
      }
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
    } finally {
      deadMan.ifPresent(DeadMan::close);
    }
  }

  private void rehearse(PackConfig pack) {
    MqttPublisher mqtt = publisher;
    try {
      new Rehearsal(pack, mqtt == null ? event -> {} : mqtt::rehearse).play();
    } catch (RuntimeException unexpected) {
      LOG.log(Level.ERROR, "unexpected while rehearsing, going on: " + unexpected, unexpected);
    }
  }

  /** Does one piece of waiting work, and what is due each second. Owner's thread. */
  void work(long waitMs) throws InterruptedException {
    Inbox.Item item = inbox.take(waitMs);
    try {
      if (item instanceof Inbox.Heard heard) {
        herd.heard(heard.pack(), heard.entry());
      } else if (item instanceof Inbox.Task task) {
        task.work().run();
      }
      herd.settle(!inbox.isEmpty());
    } catch (RuntimeException unexpected) {
      LOG.log(Level.ERROR, "unexpected in the herd's thread, going on: " + unexpected, unexpected);
    }
    if (time.monotonicNanos() - tickedNanos >= TICK_NANOS) {
      tickedNanos = time.monotonicNanos();
      tick();
    }
  }

  private void tick() {
    try {
      herd.tick();
      for (PackConfig pack : config.packs()) {
        herd.skipped(pack.plan().id(), inbox.takeSkipped(pack.plan().id()));
      }
      morning
          .flatMap(call -> call.due(clock.nowMs(), herd.watches(), keeper.file()))
          .ifPresent(sinks::morning);
      logTrouble = keeper.trouble();
      if (keeper.isToBeReopened()) {
        LOG.log(Level.INFO, "the log can be opened now; starting anew with all that it holds");
        isToBeginAnew = true;
        stop();
      }
      MqttPublisher mqtt = publisher;
      boolean delivered = mqtt == null || mqtt.eventsInMemory() == 0;
      allIsWell = herd.allAccountedFor() && keeper.trouble().isEmpty() && delivered;
    } catch (RuntimeException unexpected) {
      LOG.log(Level.ERROR, "unexpected in the herd's tick, going on: " + unexpected, unexpected);
    }
  }

  /** Does all waiting work without waiting for more. Owner's thread. */
  void workOff() throws InterruptedException {
    while (!inbox.isEmpty()) {
      work(0);
    }
    work(0);
  }

  /** Waits until packs that are judged by their latest day know their whole log. Owner's thread. */
  void awaitWholeLog() throws InterruptedException {
    if (wholeLog.isPresent()) {
      wholeLog.get().await();
      workOff();
    }
  }

  /** Asks the run to end; any thread. */
  public void stop() {
    stopping.set(true);
    inbox.put(() -> {});
  }

  /** True when it stopped by itself because it could open its log only now: open it once more. */
  public boolean isToBeginAnew() {
    return isToBeginAnew;
  }

  /** The pollers, for whoever drives them step by step. */
  List<LinePoller> pollers() {
    return lines.pollers();
  }

  /** What is known of a pack, for whoever runs on the herd's thread. */
  public Optional<PackWatch> watch(String pack) {
    return herd.watch(pack);
  }

  /** What to write in place of an alert's id, from another process, to ask for a test event. */
  public static String testRequest(String pack) {
    return Herd.TEST_REQUEST + pack;
  }

  /** The same to say that the board that answers is the pack's own from now on. */
  public static String boardRequest(String pack) {
    return Herd.BOARD_REQUEST + pack;
  }

  /** Sends a marked event down the whole path; on the herd's thread. Returns the event's id. */
  public String test(String pack, String by) {
    return herd.test(pack, by);
  }

  /** Stops the lines, commits everything, says goodbye to the broker; within 2 s. */
  @Override
  public void close() {
    if (closed) {
      return;
    }
    closed = true;
    wholeLog.ifPresent(WholeLog::close);
    lines.pollers().forEach(LinePoller::stop);
    for (Thread thread : lineThreads) {
      try {
        TimeUnit.MILLISECONDS.timedJoin(thread, 500);
      } catch (InterruptedException hurry) {
        Thread.currentThread().interrupt();
      }
    }
    try {
      workOff();
    } catch (InterruptedException hurry) {
      Thread.currentThread().interrupt();
    }
    toClose.forEach(Runnable::run);
    herd.end();
  }

  /** Puts what the lines hear into the inbox. */
  private final class ToInbox implements BoardListener {
    @Override
    public void heard(String pack, LogEntry entry) {
      inbox.put(new Inbox.Heard(pack, entry));
    }

    @Override
    public void note(String pack, String text) {
      LOG.log(Level.WARNING, "pack " + pack + ": " + text);
    }

    @Override
    public void otherBoard(String pack, String before, String now) {
      LOG.log(
          Level.WARNING,
          "pack " + pack + ": the board at its line was " + before + " and is now " + now);
    }

    @Override
    public void identified(String pack, String identity) {
      inbox.put(() -> herd().identified(pack, identity));
    }
  }
}
