package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.mqtt.TestBroker;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What sites forward arrives at the centre: all of it, once, and can be made a log again. */
class GatheredTest {

  private static final String STATES = "SELECT count(*) FROM cellherd.pack_now";

  @TempDir private Path folder;

  private static Gatherer gatherer(TestBroker broker, TestCentre centre, String name)
      throws CentreTrouble {
    return Gatherer.start(
        new Gatherer.Settings(
            FleetSite.ROOT,
            FleetSite.link(broker.url(), "gatherer", name).withMostWaiting(1_000),
            centre.address()),
        new ComputerTime());
  }

  /** The statements of the documentation run, and the views say what the site's own tables say. */
  private static void compareViews(TestCentre centre, Path log) throws Exception {
    String page = Files.readString(Path.of("src/deb/fleet.md"));
    String shown = page.substring(page.indexOf("## For other tools"));
    String sql = shown.substring(shown.indexOf("```sql") + 6, shown.lastIndexOf("```"));
    try (Centre open = Centre.openForReading(centre.address());
        Connection site = DriverManager.getConnection("jdbc:sqlite:" + log)) {
      for (String statement : sql.strip().split(";\\s*")) {
        open.plain(c -> Database.number(c, "SELECT count(*) FROM (" + statement + ") AS answer"));
      }
      for (String[] view : new String[][] {{"hours", "hour"}, {"days", "day"}}) {
        String sums =
            "SELECT sum(count) + cast(round(sum(%s)) AS bigint) FROM %s WHERE channel = '%s'";
        for (String[] channel : new String[][] {{"cell_2_v", "10000"}, {"current_a", "1000"}}) {
          String theirs = String.format(sums, "max * " + channel[1], view[0], channel[0]);
          String ours = String.format(sums, "max", view[1], channel[0]);
          OptionalLong there = open.plain(c -> Database.number(c, theirs));
          assertThat(there).isEqualTo(Database.number(site, ours)).isNotEmpty();
        }
      }
    }
  }

  /** A month's tables are made while nobody waits for them. */
  @Test
  void nextMonthIsThereBeforeASiteNeedsIt() throws Exception {
    TestCentre centre = TestCentre.fresh();
    String there =
        "SELECT count(*) FROM generate_series(0, 1) AS m, unnest(ARRAY['parcel', 'hour_sum',"
            + " 'day_sum']) AS t WHERE to_regclass('cellherd.' || t || to_char(now()"
            + " + m * interval '1 month', '_YYYY_MM')) IS NOT NULL";
    try (TestBroker broker = TestBroker.open();
        Gatherer one = gatherer(broker, centre, "one")) {
      Await.until("this month and the next", () -> centre.text(there).equals("6"));
      assertThat(one.stored()).isZero();
    }
  }

  /** Its log was imported, or its board is silent since the site was started. */
  @Test
  void ofAPackThatIsNotHeardNowTheCentreKnowsWhenItsLogHeardIt() throws Exception {
    TestCentre centre = TestCentre.fresh();
    FleetQuestion all = new FleetQuestion(Optional.empty(), Optional.empty(), Optional.empty(), 50);
    try (TestBroker broker = TestBroker.open();
        FleetSite site = FleetSite.fresh("hill", folder, broker.url(), 1);
        Gatherer one = gatherer(broker, centre, "one");
        Centre open = Centre.openForReading(centre.address())) {
      site.grow(2);
      site.forward(2_000);
      Await.until("its state is there", () -> !centre.text(STATES).equals("0"));

      FleetPack pack = all.ask(open).get(0);
      assertThat(pack.heardMs()).isEqualTo(site.log.newestMs(pack.id())).isNotEmpty();
      assertThat(pack.reason(pack.newsMs()))
          .isEqualTo("Nothing was heard since its site was started.");
      assertThat(one.lanes()).isPositive();
    }
  }

  @Test
  void aLogRebuiltFromTheCentreEqualsTheSites() throws Exception {
    TestCentre centre = TestCentre.fresh();
    try (TestBroker broker = TestBroker.open();
        FleetSite site = FleetSite.fresh("hill", folder, broker.url(), 1)) {
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
      // First: whoever opens the copy for writing packs its last hour.
      compareViews(centre, backup);
      Map<String, Long> ours = SiteBook.of(backup);
      assertThat(ours).hasSizeGreaterThan(150);
      assertThat(SiteBook.of(rebuilt)).isEqualTo(ours);
    }
  }
}
