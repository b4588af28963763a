package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.cellherd.Await;
import org.cellherd.app.daemon.Program;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Guarantees of two gatherers as their user starts them, on Debian's broker and PostgreSQL, of
 * which one is killed by signal 9 in the middle of a flood.
 */
final class TakeoverTest {

  private static final int SITES = 60;
  private static final int LOGS = 2;
  private static final int HOURS = 24;
  private static final long HOUR_MS = 3_600_000;
  private static final int PAUSE_NANOS = 5_000_000;

  /** Not for ever: sites send again after 20 s. */
  private static final long MOST_NANOS = 300_000_000_000L;

  /** Lanes by the connection that holds their lock. */
  private static final String OWNERS =
      "SELECT pid, count(*) FROM pg_locks WHERE locktype = 'advisory' AND granted AND classid = ?"
          + " AND objid < ? GROUP BY pid";

  @TempDir Path folder;

  private final CrowdSite.Counts counts = new CrowdSite.Counts();
  private final Map<String, CrowdSite> sites = new HashMap<>();

  @Test
  void theOtherTakesAllLanesOverAndNothingIsMissingOrThereTwice() throws Exception {
    long lastMs = System.currentTimeMillis() / HOUR_MS * HOUR_MS;
    CrowdGoods goods = new CrowdGoods(LOGS, HOURS, lastMs - HOURS * HOUR_MS);
    for (int i = 0; i < SITES; i++) {
      CrowdSite site = new CrowdSite(i, goods, counts, System.nanoTime());
      IntStream.range(0, HOURS).forEach(hour -> site.sealHour());
      sites.put(site.name(), site);
    }
    long all = left();
    try (KilledCentre server = KilledCentre.open();
        Mosquitto broker = Mosquitto.open(folder);
        Centre own = Centre.openForWriting(server.address());
        Program first = gatherer(broker, server);
        Program second = gatherer(broker, server);
        CrowdLine line =
            new CrowdLine(broker.url(), "crowd", IntStream.range(0, Lane.COUNT).boxed().toList())) {
      Await.until("each has half of the lanes", () -> owners(own).equals(List.of(32L, 32L)));

      handOver(line, all / 2);
      first.kill();
      long killed = System.nanoTime();
      Await.until("one has all lanes", () -> owners(own).equals(List.of(64L)));
      System.out.printf("taken over in %.2f s%n", (System.nanoTime() - killed) / 1e9);
      long then = counts.held;
      handOver(line, 0);
      System.out.printf(
          "held %d before, %d after, sent again %d%n", then, counts.held - then, counts.again);

      assertThat(then).isLessThan(all);
      assertThat(counts.refused).isZero();
      assertThat(counts.odd).as(counts.oddest).isZero();
      assertThat(digests(own))
          .isEqualTo(
              sites.values().stream()
                  .collect(Collectors.toMap(s -> s.name() + " " + s.log(), CrowdSite::digest)));
      assertThat(second.isAlive()).isTrue();
    }
  }

  private Program gatherer(Mosquitto broker, KilledCentre server) throws Exception {
    Program program = Program.gatherer(folder, broker.url(), server.url("postgres"));
    program.awaitText("connected to broker");
    return program;
  }

  private long left() {
    return sites.values().stream().mapToLong(CrowdSite::left).sum();
  }

  /** Sends what is due and takes what is held, until so few are left. */
  private void handOver(CrowdLine line, long left) {
    long begin = System.nanoTime();
    while (left() > left) {
      assertThat(System.nanoTime() - begin).as("left: %d", left()).isLessThan(MOST_NANOS);
      for (CrowdLine.Answer answer = line.answers().poll();
          answer != null;
          answer = line.answers().poll()) {
        CrowdSite site = Objects.requireNonNull(sites.get(answer.site()));
        answer.text().lines().forEach(text -> site.heard(text, System.nanoTime()));
      }
      for (CrowdSite site : sites.values()) {
        site.work(
            System.nanoTime(),
            (topic, text) -> line.send(topic, text, false),
            (topic, text) -> line.send(topic, text, true));
      }
      line.flush();
      LockSupport.parkNanos(PAUSE_NANOS);
    }
  }

  private static List<Long> owners(Centre own) {
    List<Long> lanes = new ArrayList<>();
    rows(own, OWNERS, row -> lanes.add(row.getLong(2)), CentreSchema.LOCKS, Lane.COUNT);
    return lanes;
  }

  private static Map<String, String> digests(Centre own) {
    Map<String, String> digests = new HashMap<>();
    rows(
        own,
        CrowdRun.DIGESTS,
        row -> digests.put(row.getString(1) + " " + row.getString(2), row.getString(3)));
    return digests;
  }

  /** What is done with a row. */
  @FunctionalInterface
  private interface OfRow {
    void take(ResultSet row) throws SQLException;
  }

  private static void rows(Centre own, String sql, OfRow each, Object... values) {
    try {
      own.plain(
          c -> {
            try (PreparedStatement statement = Database.prepare(c, sql, values);
                ResultSet row = statement.executeQuery()) {
              while (row.next()) {
                each.take(row);
              }
            }
            return true;
          });
    } catch (CentreTrouble trouble) {
      throw new IllegalStateException(trouble);
    }
  }
}
