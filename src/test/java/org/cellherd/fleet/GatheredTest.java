package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.mqtt.TestBroker;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What sites forward arrives at the centre: all of it, once, and can be made a log again. */
class GatheredTest {

  @TempDir private Path folder;

  private static Gatherer gatherer(TestBroker broker, TestCentre centre, String name)
      throws CentreTrouble {
    return Gatherer.start(
        new GatherSettings(
            FleetSite.ROOT,
            FleetSite.link(broker.url(), name).withMostWaiting(1_000),
            centre.address()),
        new ComputerTime());
  }

  @Test
  void aLogRebuiltFromTheCentreEqualsTheSites() throws Exception {
    TestCentre centre = TestCentre.fresh();
    try (TestBroker broker = TestBroker.open();
        FleetSite site = new FleetSite("hill", folder, broker.url(), 1)) {
      site.grow(30);
      try (Gatherer one = gatherer(broker, centre, "one")) {
        site.forward(2_000);
        Await.until("all held", site::isAllHeld);
        site.grow(5);
        Await.until("all held again", site::isAllHeld);
        assertThat(one.stored()).isGreaterThan(100);
      }
      Path backup = folder.resolve("backup.db");
      site.log.backup(backup);
      Path rebuilt = folder.resolve("rebuilt.db");
      try (Centre open = Centre.openForReading(centre.address())) {
        SiteLog.newest(open, "hill").rebuild(rebuilt, Optional.empty());
      }
      Map<String, Long> ours = SiteBook.of(backup);
      assertThat(ours).hasSizeGreaterThan(150);
      assertThat(SiteBook.of(rebuilt)).isEqualTo(ours);
    }
  }
}
