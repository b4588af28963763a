package org.cellherd.fleet;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.cellherd.ComputerTime;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.Forwarder;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.BrokerLogin;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.LinkTiming;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.setting.OpenMode;
import org.jspecify.annotations.Nullable;

/** A site with a log of two packs that grows by drawn hours, and what forwards it. */
final class FleetSite implements AutoCloseable {

  static final String ROOT = ForwardSettings.ROOT;
  static final long T0 = 1_767_225_600_000L;
  static final LinkTiming QUICK = new LinkTiming(5, 10_000, 20_000, 20, 200);
  static final List<String> PACKS = List.of("crate", "hut");

  final String name;
  final Path file;
  final LogFile log;
  private final BrokerUrl broker;
  private final Random random;
  private @Nullable Forwarder forwarder;
  private long hour;
  private boolean isClosed;

  FleetSite(String name, Path folder, BrokerUrl broker, long seed) throws StorageFailure {
    this.name = name;
    this.file = folder.resolve(name + ".db");
    this.broker = broker;
    this.random = new Random(seed);
    this.log = LogFile.open(file, OpenMode.WRITER);
    for (String pack : PACKS) {
      log.writer().append(pack, new SessionStart(T0, 1, true, true));
    }
    log.writer().commit();
  }

  /** Logs in as a user, for brokers with rules. */
  static LinkSettings link(BrokerUrl broker, String user, String clientId) {
    return new LinkSettings(
        broker,
        clientId,
        Optional.of(new BrokerLogin(user, new char[0])),
        Optional.empty(),
        QUICK,
        LinkSettings.USUAL_WAITING);
  }

  /** Some hours more of both packs, with a gap now and then. */
  void grow(int hours) throws StorageFailure {
    for (int h = 0; h < hours; h++, hour++) {
      for (String pack : PACKS) {
        long start = T0 + hour * 3_600_000L;
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
            new ComputerTime());
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
