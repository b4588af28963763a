package org.cellherd.fleet;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.cellherd.app.daemon.Program;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.pack.Worded;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;

/**
 * A crowd of sites on Debian's broker as it is delivered, gatherers as their user starts them, and
 * Debian's PostgreSQL with a durable disk: {@code CrowdRun SITES HOURS SECONDS GATHERERS
 * [AT_ONCE]}. All sites seal an hour of readings every so many seconds, within half a minute of
 * each other as real ones do, and send the state of their pack each minute. Prints by the minute
 * what goes on and what memory it takes, at the end whether that was flat, how fast COPY of the
 * same bytes is on the same server, and whether the sums over all parcels of each site are the same
 * at both ends. The exit code is 1 when anything is wrong.
 *
 * <p>The sites speak over sixteen connections; they know the protocol from fleet.md and share no
 * code with the gatherer but the bytes of the parcels, which a real log packed.
 */
public final class CrowdRun implements AutoCloseable {

  private static final int LOGS = 16;
  private static final int LINES = 16;
  private static final long SECOND = 1_000_000_000L;
  private static final double SPREAD_S = 30;
  private static final long LOOK_NANOS = 60 * SECOND;
  private static final long PATIENCE_NANOS = 900 * SECOND;
  private static final int PAUSE_NANOS = 20_000_000;
  private static final long HOUR_MS = 3_600_000;
  private static final int A_COMMIT = 200;
  private static final int COPIED = 40;

  static final String DIGESTS =
      "SELECT site, log::text, md5(string_agg(kind || ' ' || key || ' ' || rev || ' ' || crc || ' '"
          + " || coalesce(md5(body), '-'), E'\\n' ORDER BY (kind || ' ' || key) COLLATE \"C\"))"
          + " FROM parcel GROUP BY site, log";

  private final Path folder = Files.createTempDirectory("many-sites");
  private final KilledCentre centre = KilledCentre.open();
  private final Mosquitto broker;
  private final List<Program> gatherers = new ArrayList<>();
  private final List<CrowdLine> lines = new ArrayList<>();
  private final List<CrowdSite> sites = new ArrayList<>();
  private final Map<String, CrowdSite> byName = new HashMap<>();
  private final CrowdSite.Counts counts = new CrowdSite.Counts();
  private final CrowdVitals vitals = new CrowdVitals();
  private final CrowdGoods goods;
  private final int hours;

  /** So many sites at most have something to send: a broker as delivered queues a thousand. */
  private final int atOnce;

  /** Seconds that an hour of the sites takes. */
  private final double pace;

  private long beginNanos;
  private long leftNanos;
  private Map<String, Double> usedAtBegin = Map.of();
  private Map<String, Double> usedAtEnd = Map.of();

  /**
   * What COPY did.
   *
   * @param rate parcels a second
   * @param microseconds of processor time a parcel took, of both ends
   */
  private record Copied(double rate, double microseconds) {}

  private CrowdRun(int count, int hours, double pace, int gatherers, int atOnce) throws Exception {
    this.hours = hours;
    this.atOnce = atOnce;
    this.pace = pace;
    long lastMs = System.currentTimeMillis() / HOUR_MS * HOUR_MS;
    goods = new CrowdGoods(LOGS, hours, lastMs - hours * HOUR_MS);
    broker = Mosquitto.open(folder);
    for (int i = 0; i < gatherers; i++) {
      Program program = Program.gatherer(folder, broker.url(), centre.url("postgres"));
      program.awaitText("connected to broker");
      this.gatherers.add(program);
      vitals.watch("gatherer " + (i + 1), () -> List.of(program.pid()));
    }
    vitals.watch("broker", () -> List.of(broker.pid()));
    vitals.watch("PostgreSQL", () -> centre.processes().stream().map(ProcessHandle::pid).toList());
    vitals.watch("sites", () -> List.of(ProcessHandle.current().pid()));
    for (int i = 0; i < LINES; i++) {
      int line = i;
      List<Integer> lanes =
          IntStream.range(0, Lane.COUNT).filter(n -> n % LINES == line).boxed().toList();
      lines.add(new CrowdLine(broker.url(), "crowd-" + i, lanes));
    }
    for (int i = 0; i < count; i++) {
      CrowdSite site = new CrowdSite(i, goods, counts, System.nanoTime());
      sites.add(site);
      byName.put(site.name(), site);
    }
  }

  /** See the class. */
  public static void main(String[] args) throws Exception {
    int count = Integer.parseInt(args[0]);
    int hours = Integer.parseInt(args[1]);
    boolean isRight;
    try (CrowdRun crowd =
        new CrowdRun(
            count,
            hours,
            Double.parseDouble(args[2]),
            Integer.parseInt(args[3]),
            args.length > 4 ? Integer.parseInt(args[4]) : count)) {
      Copied before = crowd.copied();
      crowd.live();
      isRight = crowd.tell(before);
      isRight &= crowd.compare();
    }
    System.exit(isRight ? 0 : 1);
  }

  /** How fast COPY takes parcels of these logs. */
  private Copied copied() throws CentreTrouble, IOException {
    List<List<Arrived>> batches = new ArrayList<>();
    List<Arrived> batch = new ArrayList<>();
    long run = System.nanoTime();
    for (int site = 0; site < COPIED * LOGS; site++) {
      for (int i = 0; i < goods.size() && i < COPIED; i++) {
        CrowdGoods.Item item = goods.item(site % LOGS, i);
        Parcel parcel =
            new Parcel(
                Worded.find(ParcelKind.values(), item.kind()).orElseThrow(),
                item.key(),
                1,
                new PackedBytes(Base64.getDecoder().decode(item.base64())));
        String log = "00000000-0000-4000-8000-000000000000";
        Lane lane = new Lane(FleetSite.ROOT, "copied-" + run + "-" + site);
        batch.add(new Arrived(lane, new ParcelText(log, 1, 1, 1, parcel)));
        if (batch.size() == A_COMMIT) {
          batches.add(batch);
          batch = new ArrayList<>();
        }
      }
      if (batches.size() >= COPIED) {
        break;
      }
    }
    try (Centre own = Centre.openForWriting(centre.address())) {
      CopiedParcels.begin(own);
      Map<String, Double> usedBefore = vitals.used();
      long begin = System.nanoTime();
      CopiedParcels.copy(own, batches);
      double seconds = (System.nanoTime() - begin) / 1e9;
      Map<String, Double> usedAfter = vitals.used();
      int count = batches.size() * A_COMMIT;
      double used = 0;
      for (String end : List.of("PostgreSQL", "sites")) {
        used += usedAfter.getOrDefault(end, 0.0) - usedBefore.getOrDefault(end, 0.0);
      }
      return new Copied(count / seconds, used / count * 1e6);
    }
  }

  private void live() throws Exception {
    usedAtBegin = vitals.used();
    beginNanos = System.nanoTime();
    leftNanos = beginNanos;
    long lookedNanos = beginNanos;
    long movedNanos = beginNanos;
    long heldThen = 0;
    vitals.look(1);
    while (true) {
      long now = System.nanoTime();
      int left = work(now);
      if (left > 0) {
        leftNanos = now;
        usedAtEnd = Map.of();
      } else if (usedAtEnd.isEmpty()) {
        usedAtEnd = vitals.used();
      }
      if (counts.held != heldThen) {
        heldThen = counts.held;
        movedNanos = now;
      }
      if (now - lookedNanos >= LOOK_NANOS || isOver(now)) {
        print(now, (now - lookedNanos) / 1e9, left);
        lookedNanos = now;
        if (isOver(now)) {
          return;
        }
      }
      if (now - movedNanos > PATIENCE_NANOS) {
        System.out.println("NOTHING WAS HELD for " + PATIENCE_NANOS / SECOND + " s");
        return;
      }
      LockSupport.parkNanos(PAUSE_NANOS);
    }
  }

  /** When all is held, and each state that the broker threw away had time to come again. */
  private boolean isOver(long nowNanos) {
    return nowNanos - leftNanos > LOOK_NANOS + SECOND
        && sites.stream().allMatch(site -> site.hours() == hours);
  }

  /** One round over all sites; returns how many parcels are not held. */
  private int work(long now) {
    for (CrowdLine line : lines) {
      for (CrowdLine.Answer answer = line.answers().poll();
          answer != null;
          answer = line.answers().poll()) {
        CrowdSite site = byName.get(answer.site());
        if (site != null) {
          answer.text().lines().forEach(text -> site.heard(text, now));
        }
      }
    }
    int left = 0;
    int busy = 0;
    for (CrowdSite site : sites) {
      if (busy == atOnce) {
        break;
      }
      double sealedAt = (site.hours() + 1) * pace + site.lateness() * Math.min(SPREAD_S, pace);
      if (site.hours() < hours && (now - beginNanos) / 1e9 >= sealedAt) {
        site.sealHour();
      }
      CrowdLine line = lines.get(site.lane() % LINES);
      site.work(
          now,
          (topic, text) -> line.send(topic, text, false),
          (topic, text) -> line.send(topic, text, true));
      left += site.left();
      busy += site.left() > 0 || site.hours() < hours ? 1 : 0;
    }
    lines.forEach(CrowdLine::flush);
    return left;
  }

  private void print(long now, double seconds, int left) throws Exception {
    double load = Double.parseDouble(Files.readString(Path.of("/proc/loadavg")).split(" ")[0]);
    System.out.printf(
        Locale.ROOT,
        "%.1f min, hour %d: sent %d, of them again %d, held %d, left %d, states %d; %s; load"
            + " %.1f%n",
        (now - beginNanos) / 1e9 / 60,
        sites.stream().mapToInt(CrowdSite::hours).min().orElse(0),
        counts.sent,
        counts.again,
        counts.held,
        left,
        counts.states,
        vitals.look(seconds),
        load);
  }

  private boolean tell(Copied before) throws CentreTrouble, IOException {
    double seconds = (leftNanos - beginNanos) / 1e9;
    Copied after = copied();
    System.out.printf(
        Locale.ROOT,
        "%d sites, %d hours of %.0f s: %d parcels held in %.0f s, %.0f a second; COPY of the same"
            + " bytes alone before %.0f, after %.0f a second%n",
        sites.size(),
        hours,
        pace,
        counts.held,
        seconds,
        counts.held / seconds,
        before.rate(),
        after.rate());
    usedAtEnd.forEach(
        (program, used) ->
            System.out.printf(
                Locale.ROOT,
                "%s: %.0f µs of processor time a parcel%n",
                program,
                (used - usedAtBegin.getOrDefault(program, 0.0)) / counts.held * 1e6));
    System.out.printf(
        Locale.ROOT,
        "COPY: %.0f and %.0f µs of both ends together%n",
        before.microseconds(),
        after.microseconds());
    System.out.printf(
        Locale.ROOT,
        "refused %d, answers that cannot be %d %s%n",
        counts.refused,
        counts.odd,
        counts.oddest);
    long warnings = 0;
    for (Program gatherer : gatherers) {
      List<String> said =
          gatherer.text().lines().filter(l -> l.contains(" WARN ") || l.contains("ERROR")).toList();
      warnings += said.size();
      said.stream().limit(5).forEach(System.out::println);
    }
    System.out.println("gatherers warned " + warnings + " times");
    return vitals.tell() && counts.refused == 0 && counts.odd == 0;
  }

  /** True when the centre holds of each site what the site has, and of no other. */
  private boolean compare() throws CentreTrouble {
    Map<String, String> there = new HashMap<>();
    long[] rows = new long[3];
    try (Centre open = Centre.openForReading(centre.address())) {
      open.change(
          c -> {
            try (PreparedStatement statement = Database.prepare(c, DIGESTS);
                ResultSet row = statement.executeQuery()) {
              while (row.next()) {
                there.put(row.getString(1) + " " + row.getString(2), row.getString(3));
              }
            }
            rows[0] = number(c, "SELECT count(*) FROM pack_now");
            rows[1] = number(c, "SELECT count(*) FROM hour_sum");
            rows[2] =
                number(c, "SELECT count(*) FROM parcel WHERE kind = 'hour' AND body IS NOT NULL");
            return true;
          });
    }
    long equal =
        sites.stream().filter(s -> s.digest().equals(there.get(s.name() + " " + s.log()))).count();
    boolean isRight =
        equal == sites.size()
            && there.size() == sites.size()
            && rows[0] == sites.size()
            && rows[1] == rows[2];
    System.out.printf(
        "sums over all parcels: of %d sites %d equal, the centre has %d; states %d; hours in plain"
            + " columns %d of %d: %s%n",
        sites.size(), equal, there.size(), rows[0], rows[1], rows[2], isRight ? "right" : "WRONG");
    return isRight;
  }

  private static long number(Connection connection, String sql) throws SQLException {
    return Database.number(connection, sql).orElse(0);
  }

  @Override
  public void close() throws IOException {
    for (CrowdLine line : lines) {
      line.close();
    }
    gatherers.forEach(Program::close);
    broker.close();
    centre.close();
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
    Files.delete(folder);
  }
}
