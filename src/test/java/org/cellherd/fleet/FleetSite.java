package org.cellherd.fleet;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.cellherd.ComputerTime;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.Forwarder;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.jspecify.annotations.Nullable;

/** A site with a log of two packs that grows by drawn hours, and what forwards it. */
final class FleetSite implements AutoCloseable {

  static final String ROOT = ForwardSettings.ROOT;
  static final long T0 = 1_767_225_600_000L;
  static final LinkSettings.Timing QUICK = new LinkSettings.Timing(5, 10_000, 20_000, 20, 200);
  static final List<String> PACKS = List.of("crate", "hut");
  static final long AGAIN_MS = 300;
  private static final long HOUR_MS = 3_600_000;
  private static final int PAGE = 4096;

  final String name;
  final Path file;
  LogFile log;
  private final BrokerUrl broker;
  private final Random random;
  private final long seed;
  private @Nullable Forwarder forwarder;
  private long clockAheadMs;
  private boolean wasSalvaged;
  private long run;
  private long hour;
  private boolean isClosed;

  FleetSite(String name, Path folder, BrokerUrl broker, long seed) throws StorageFailure {
    this.name = name;
    this.file = folder.resolve(name + ".db");
    this.broker = broker;
    this.seed = seed;
    this.random = new Random(seed);
    this.log = LogFile.open(file, OpenMode.WRITER);
  }

  /** One with a new log, whose first run begins. */
  static FleetSite fresh(String name, Path folder, BrokerUrl broker, long seed)
      throws StorageFailure {
    FleetSite site = new FleetSite(name, folder, broker, seed);
    site.goOn(1, 0);
    return site;
  }

  /** A run of the program begins, at an hour from {@link #T0} on. */
  void goOn(long newRun, long firstHour) throws StorageFailure {
    run = newRun;
    hour = firstHour;
    for (String pack : PACKS) {
      log.writer().append(pack, new SessionStart(T0 + hour * HOUR_MS, run, true, true));
    }
    log.writer().commit();
  }

  /** The clock is wrong from here on, by so many hours. */
  void leap(long hours) throws StorageFailure {
    goOn(run + 1, hour + hours);
    clockAheadMs += hours * HOUR_MS;
    silence();
    forward(AGAIN_MS);
  }

  /** Lives for a while as a process that is killed, then here again. */
  void dieAlone() throws StorageFailure, IOException, InterruptedException {
    silence();
    log.close();
    String folder = file.resolveSibling(".").toAbsolutePath().normalize().toString();
    long first = hour + 1;
    hour =
        KilledSite.live(
            List.of(name, folder, broker.toString(), "" + seed, "" + (run + 1), "" + first),
            1 + random.nextInt(20));
    reopen(run + 2);
  }

  /** The head of its log and one place more become noise, so that it must be salvaged. */
  void damage() throws StorageFailure, IOException {
    silence();
    log.close();
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
      byte[] noise = new byte[PAGE];
      for (long at : new long[] {0, random.nextInt((int) (bytes.length() / PAGE))}) {
        random.nextBytes(noise);
        bytes.seek(at * PAGE);
        bytes.write(noise);
      }
    }
    wasSalvaged = true;
    reopen(run + 1);
  }

  private void reopen(long newRun) throws StorageFailure {
    log = LogFile.open(file, OpenMode.WRITER);
    goOn(newRun, hour + 1);
    forward(AGAIN_MS);
  }

  /** True when the centre may hold what its log has lost. */
  boolean wasSalvaged() {
    return wasSalvaged;
  }

  /** Logs in as a user, for brokers with rules. */
  static LinkSettings link(BrokerUrl broker, String user, String clientId) {
    return new LinkSettings(
        broker,
        clientId,
        Optional.of(new LinkSettings.Login(user, new char[0])),
        Optional.empty(),
        QUICK,
        LinkSettings.USUAL_WAITING);
  }

  /** Some hours more of both packs, with a gap now and then; returns the next hour. */
  long grow(int hours) throws StorageFailure {
    for (int h = 0; h < hours; h++, hour++) {
      for (String pack : PACKS) {
        long start = T0 + hour * HOUR_MS;
        if (random.nextInt(4) == 0) {
          log.writer().append(pack, new Gap(start, start + 60_000, Gap.Cause.NO_BYTES));
          start += 60_000;
        }
        for (int i = 0; i < 40; i++) {
          int mv = 3_280 + random.nextInt(40);
          log.writer()
              .append(
                  pack,
                  Reading.at(start + i * 10_000L)
                      .cells(CellVoltages.ofMv(mv, mv + 3, mv - 2, mv + 1))
                      .currentMa(-500 + random.nextInt(20))
                      .build());
        }
      }
      log.writer().commit();
    }
    return hour;
  }

  /** Begins to forward, sending again what is not held within so long. */
  void forward(long againMs) throws StorageFailure {
    forwarder =
        Forwarder.start(
            new ForwardSettings(
                new Lane(ROOT, name), link(broker, name, "site-" + name), 10_000, againMs, false),
            log,
            Map.of(PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000), Facts.NONE),
            List.of(),
            new ComputerTime(clockAheadMs));
  }

  /** Ends forwarding. */
  void silence() {
    Forwarder running = forwarder;
    if (running != null) {
      running.close();
      forwarder = null;
    }
  }

  /** True when the centre holds all. */
  boolean isAllHeld() {
    try {
      return log.journal().waiting() == 0;
    } catch (StorageFailure e) {
      throw new IllegalStateException(e);
    }
  }

  @Override
  public void close() throws StorageFailure {
    silence();
    if (!isClosed) {
      isClosed = true;
      log.close();
    }
  }
}
