package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.app.daemon.Program;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Redating;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Whatever happens to gatherers, their database's connections, the broker and the messages: what a
 * site has, the centre has, once and in its newest form. {@code -Dcellherd.runs} and {@code
 * -Dcellherd.seed} draw more.
 */
class HeldForGoodTest {

  private static final int STEPS = 14;
  private static final int KINDS = 12;
  private static final long HOUR_MS = 3_600_000;
  private static final long HOURS_SINCE_1970 = -FleetSite.T0 / HOUR_MS;

  /** The year 2300. */
  private static final long LATER_THAN_ANY_MS = 10_413_792_000_000L;

  @TempDir private Path folder;

  static List<Long> seeds() {
    List<Long> seeds = new ArrayList<>();
    long first = Long.getLong("cellherd.seed", 1);
    for (int i = 0; i < Integer.getInteger("cellherd.runs", 2); i++) {
      seeds.add(first + i);
    }
    return seeds;
  }

  /** A centre with a broker, gatherers that die and begin, sites that go on. */
  private final class Campaign implements AutoCloseable {
    private final Random random;
    private final Mosquitto broker = Mosquitto.open(folder);
    private final CentreUnderTest centre;
    private final Meddler meddler;
    private final List<Gatherer> gatherers = new ArrayList<>();
    private final List<FleetSite> sites = new ArrayList<>();
    private Program killed;
    private int begun;

    Campaign(long seed, Start start) throws Exception {
      centre = start.centre();
      System.out.println("seed " + seed);
      random = new Random(seed);
      meddler = new Meddler(broker.url());
      killed = beginProcess();
      begin();
      for (String name : List.of("hill", "shore")) {
        FleetSite site = new FleetSite(name, folder, broker.url(), seed);
        site.goOn(1, random.nextInt(3) == 0 ? HOURS_SINCE_1970 : 0);
        site.grow(12);
        site.forward(FleetSite.AGAIN_MS);
        sites.add(site);
      }
    }

    private void begin() throws CentreTrouble {
      gatherers.add(
          Gatherer.start(
              new Gatherer.Settings(
                  FleetSite.ROOT,
                  FleetSite.link(broker.url(), "gatherer", "gatherer-" + ++begun)
                      .withMostWaiting(1_000),
                  centre.address()),
              new ComputerTime(random.nextBoolean() ? 0 : leap() * HOUR_MS)));
    }

    private Program beginProcess() throws IOException {
      return Program.gatherer(folder, broker.url(), "postgresql://postgres@" + centre.address());
    }

    /** Hours by which a clock is wrong: between 1970 and the next century. */
    private long leap() {
      return random.nextBoolean() ? HOURS_SINCE_1970 : random.nextInt(80 * 365 * 24);
    }

    /** Each kind of event, in a drawn order, then any. */
    List<Integer> events() {
      List<Integer> events = new ArrayList<>(IntStream.range(0, KINDS).boxed().toList());
      Collections.shuffle(events, random);
      events.addAll(random.ints(STEPS - KINDS, 0, KINDS).boxed().toList());
      return events;
    }

    void happen(int event) throws Exception {
      meddler.connect();
      FleetSite site = sites.get(random.nextInt(sites.size()));
      switch (event) {
        case 0, 1 -> site.grow(1 + random.nextInt(4));
        case 2 -> redate();
        case 3 -> centre.disturb();
        case 4 -> {
          gatherers.remove(random.nextInt(gatherers.size())).close();
          begin();
        }
        case 5 -> {
          meddler.repeat(new Random(random.nextLong()));
          meddler.forge(new Lane(FleetSite.ROOT, site.name), site.log.uuid(), random);
        }
        case 6 -> {
          site.silence();
          site.forward(FleetSite.AGAIN_MS);
        }
        case 7 -> {
          killed.kill();
          killed = beginProcess();
        }
        case 8 -> site.dieAlone();
        case 9 -> site.damage();
        case 10 -> site.leap(random.nextInt(80 * 365 * 24));
        default -> {
          broker.stop();
          site.grow(1);
          broker.start();
        }
      }
    }

    /** Some of a log comes some hours earlier: of the first site and pack where that can be. */
    private void redate() throws Exception {
      Collections.shuffle(sites, random);
      long offsetMs = -(1 + random.nextInt(9)) * HOUR_MS;
      for (long from : List.of(FleetSite.T0 + random.nextInt(12) * HOUR_MS, HOUR_MS)) {
        for (FleetSite site : sites) {
          for (String pack : FleetSite.PACKS) {
            if (redate(site, pack, from, offsetMs)) {
              return;
            }
          }
        }
      }
    }

    private boolean redate(FleetSite site, String pack, long from, long offsetMs) throws Exception {
      Redating asked =
          new Redating(
              pack,
              OptionalLong.empty(),
              from,
              Long.MAX_VALUE,
              first -> offsetMs,
              "owner",
              LATER_THAN_ANY_MS);
      try {
        long moved = site.log.writer().redate(asked, false).readings();
        System.out.println(site.name + ": " + moved + " readings of " + pack + " are moved");
        return moved > 0;
      } catch (StorageFailure refused) {
        // What would lie among other readings is not moved.
        assertThat(refused.kind()).isEqualTo(StorageFailure.Kind.REFUSED);
        return false;
      }
    }

    /** All that was ever sent comes once more, in any order, when newer is held of much of it. */
    void repeatAll() throws Exception {
      meddler.connect();
      awaitHeld();
      for (List<String[]> some : meddler.all(random)) {
        meddler.sendAndWait(some);
        // What a gatherer gets behind these is held: so these were looked at.
        for (FleetSite site : sites) {
          site.grow(1);
        }
        awaitHeld();
      }
    }

    private void awaitHeld() {
      sites.forEach(site -> Await.until("all of " + site.name + " held", site::isAllHeld));
    }

    void compare(FleetSite site) throws Exception {
      Path backup = folder.resolve(site.name + "-backup.db");
      site.log.backup(backup);
      Path rebuilt = folder.resolve(site.name + "-rebuilt.db");
      try (Centre open = Centre.openForReading(centre.address())) {
        SiteLog.newest(open, site.name).rebuild(rebuilt, Optional.empty());
      }
      Map<String, Long> ours = SiteBook.of(backup);
      if (site.wasSalvaged()) {
        // What its log lost, the centre may hold.
        assertThat(SiteBook.of(rebuilt)).containsAllEntriesOf(ours);
      } else {
        assertThat(SiteBook.of(rebuilt)).isEqualTo(ours);
      }
      assertThat(ours).hasSizeGreaterThan(20);
      System.out.println(site.name + ": " + ours.size() + " parcels, equal at both ends");
      Files.delete(backup);
    }

    @Override
    public void close() throws StorageFailure, MqttException {
      for (FleetSite site : sites) {
        site.close();
      }
      gatherers.forEach(Gatherer::close);
      killed.close();
      meddler.close();
      broker.close();
      centre.close();
    }
  }

  /** Starts the centre of a campaign. */
  private interface Start {
    CentreUnderTest centre() throws IOException;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void nothingIsMissingNothingIsOlder(long seed) throws Exception {
    campaign(seed, TestCentre::fresh);
  }

  static List<Long> killed() {
    return LongStream.range(0, Integer.getInteger("cellherd.runs", 1))
        .mapToObj(i -> Long.getLong("cellherd.seed", 7) + i)
        .toList();
  }

  /** The same with a durable server that is killed. */
  @ParameterizedTest
  @MethodSource("killed")
  void noKilledServerForgetsWhatItHolds(long seed) throws Exception {
    campaign(seed, KilledCentre::open);
  }

  private void campaign(long seed, Start start) throws Exception {
    try (Campaign campaign = new Campaign(seed, start)) {
      int step = 0;
      for (int event : campaign.events()) {
        campaign.happen(event);
        if (++step % 5 == 0) {
          campaign.centre.disturb();
        }
      }
      campaign.repeatAll();
      for (FleetSite site : campaign.sites) {
        campaign.compare(site);
      }
    }
  }
}
