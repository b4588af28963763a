package org.cellherd.fleet;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.IntFunction;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Journal;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.OpenMode;

/**
 * Measures a centre on Debian's PostgreSQL with a durable disk, and prints a line a figure with its
 * aim. Parcels are those of a real log: 16 cells, 4 sensors, a reading each 10 s.
 *
 * <pre>
 * ingest SITES DAYS    storing beside COPY of the same bytes, by one and by two gatherers
 * question PACKS       which of so many packs needs somebody
 * written              bytes that forwarding adds to what a log writes in a day
 * all                  all of these: ingest 20 5, question 100000, written
 * </pre>
 */
public final class FleetBenchmark {

  private static final int A_COMMIT = 200;
  private static final int RUNS = 15;
  private static final int USUAL_SITES = 20;
  private static final int USUAL_DAYS = 5;
  private static final int USUAL_PACKS = 100_000;
  private static final int TEN_S = 10;
  private static final long DAY_MS = 86_400_000;
  private static final int DAY_S = 86_400;

  private final CentreUnderTest centre;

  private FleetBenchmark(CentreUnderTest centre) {
    this.centre = centre;
  }

  /** See the class. */
  public static void main(String[] args) throws Exception {
    switch (args[0]) {
      case "ingest" -> ingest(Integer.parseInt(args[1]), Integer.parseInt(args[2]));
      case "question" -> question(Integer.parseInt(args[1]));
      case "written" -> written();
      case "all" -> {
        ingest(USUAL_SITES, USUAL_DAYS);
        question(USUAL_PACKS);
        written();
      }
      default -> throw new IllegalArgumentException(args[0]);
    }
  }

  private static void ingest(int sites, int days) throws Exception {
    try (KilledCentre durable = KilledCentre.open()) {
      new FleetBenchmark(durable).store(sites, days);
    }
  }

  private static void question(int packs) throws Exception {
    try (KilledCentre durable = KilledCentre.open()) {
      new FleetBenchmark(durable).ask(packs);
    }
  }

  private static void print(String format, Object... values) {
    System.out.printf(Locale.ROOT, format + "%n", values);
  }

  /** What a log of one pack forwards of some days. */
  private static List<Parcel> parcels(int days) throws IOException, StorageFailure {
    Path folder = Files.createTempDirectory("fleet-benchmark");
    Path file = folder.resolve("log.db");
    List<Parcel> parcels;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.journal().begin(false);
      StorageDay noisy = new StorageDay(true, 7);
      log.writer().append("hut", new SessionStart(FleetSite.T0, 1, true, true));
      for (int day = 0; day < days; day++) {
        for (Reading reading : noisy.readings(FleetSite.T0 + day * DAY_MS, 0, DAY_S)) {
          if (reading.timeMs() / 1000 % TEN_S == 0) {
            log.writer().append("hut", reading);
            log.writer().commitIfDue(reading.timeMs());
          }
        }
      }
      log.writer().commit();
      parcels = log.journal().after(0, Integer.MAX_VALUE);
    }
    delete(folder);
    return parcels;
  }

  private static void delete(Path folder) throws IOException {
    try (var files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
    Files.delete(folder);
  }

  /** Batches as a gatherer takes them: of all sites of its half, in the order of time. */
  private static List<List<Arrived>> batches(List<Parcel> parcels, String prefix, int sites) {
    List<List<Arrived>> batches = new ArrayList<>();
    List<Arrived> batch = new ArrayList<>();
    for (Parcel parcel : parcels) {
      for (int site = 0; site < sites; site++) {
        String log = String.format(Locale.ROOT, "00000000-0000-4000-8000-%012d", site);
        Lane lane = new Lane(FleetSite.ROOT, prefix + site);
        batch.add(new Arrived(lane, new ParcelText(log, 1, 1, 1, parcel)));
        if (batch.size() == A_COMMIT) {
          batches.add(batch);
          batch = new ArrayList<>();
        }
      }
    }
    return batches;
  }

  private void store(int sites, int days) throws Exception {
    List<Parcel> parcels = parcels(days);
    try (Centre open = Centre.openForWriting(centre.address())) {
      CopiedParcels.begin(open);
      // Plans, classes and partitions are there before anything is measured.
      store(open, batches(parcels, "warm-", 2));
      CopiedParcels.copy(open, batches(parcels, "warm-", 2));
    }
    double[] ratios = new double[3];
    double[] costs = new double[ratios.length];
    double[] shares = new double[ratios.length];
    for (int run = 0; run < ratios.length; run++) {
      List<List<Arrived>> mine = batches(parcels, "a" + run + "-", sites);
      Pace copied = new Pace();
      Pace stored = new Pace();
      inTurn(mine, copied, stored);
      List<List<Arrived>> left = batches(parcels, "b" + run + "-", sites / 2);
      List<List<Arrived>> right = batches(parcels, "c" + run + "-", sites / 2);
      List<List<Arrived>> both = new ArrayList<>(left);
      both.addAll(right);
      double two = rate(both, 2, half -> centre -> store(centre, half == 0 ? left : right));
      ratios[run] = stored.rate() / copied.rate();
      costs[run] = copied.cpuUs() / stored.cpuUs();
      shares[run] = two / stored.rate();
      print(
          "%d parcels of %.1f kB: COPY %.0f/s, stored by one %.0f/s, by two %.0f/s;"
              + " processor time, ours and the server's: COPY %.0f us, storing %.0f us a parcel",
          mine.size() * A_COMMIT,
          bytes(mine) / 1e3 / mine.size() / A_COMMIT,
          copied.rate(),
          stored.rate(),
          two,
          copied.cpuUs(),
          stored.cpuUs());
    }
    print("storing beside COPY, middle of three: %.2f (aim 0.60)", middle(ratios));
    print("the same by processor time, beside other work: %.2f (aim 0.60)", middle(costs));
    print("two gatherers beside one, middle of three: %.2f (aim 1.00)", middle(shares));
  }

  /** How fast one connection is: wall and processor time of this thread and of the server's. */
  private static final class Pace {
    private long parcels;
    private long wallNanos;
    private long cpuNanos;

    void take(Centre own, long server, List<Arrived> batch, Job job) throws Exception {
      long cpu = cpuNanos(server);
      long begin = System.nanoTime();
      job.run(own);
      wallNanos += System.nanoTime() - begin;
      cpuNanos += cpuNanos(server) - cpu;
      parcels += batch.size();
    }

    double rate() {
      return parcels / (wallNanos / 1e9);
    }

    double cpuUs() {
      return cpuNanos / 1e3 / parcels;
    }
  }

  /** Batch by batch in turn, so that what else the computer does slows both alike. */
  private void inTurn(List<List<Arrived>> batches, Pace copied, Pace stored) throws Exception {
    try (Centre copying = Centre.openForWriting(centre.address());
        Centre storing = Centre.openForWriting(centre.address())) {
      long copier = server(copying);
      long storer = server(storing);
      ParcelBatch store = new ParcelBatch(storing, new Months());
      for (List<Arrived> each : batches) {
        copied.take(copying, copier, each, own -> CopiedParcels.copy(own, List.of(each)));
        stored.take(storing, storer, each, own -> store.store(each));
      }
    }
  }

  private static long server(Centre centre) throws CentreTrouble {
    return centre.change(c -> Database.number(c, "SELECT pg_backend_pid()")).orElseThrow();
  }

  private static long cpuNanos(long server) throws IOException {
    String time = Files.readString(Path.of("/proc", "" + server, "schedstat"));
    return Long.parseLong(time.split(" ")[0])
        + ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
  }

  private static double middle(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  private static long bytes(List<List<Arrived>> batches) {
    return batches.stream()
        .flatMap(List::stream)
        .mapToLong(a -> a.text().parcel().body().bytes().length)
        .sum();
  }

  /** Work with a connection. */
  private interface Job {
    void run(Centre centre) throws CentreTrouble;
  }

  /** Parcels a second. */
  private double rate(List<List<Arrived>> batches, int workers, IntFunction<Job> jobs)
      throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(workers);
    List<Centre> open = new ArrayList<>();
    for (int i = 0; i < workers; i++) {
      open.add(Centre.openForWriting(centre.address()));
    }
    try {
      List<Future<?>> running = new ArrayList<>();
      long begin = System.nanoTime();
      for (int i = 0; i < workers; i++) {
        Job job = jobs.apply(i);
        Centre own = open.get(i);
        Callable<Boolean> run =
            () -> {
              job.run(own);
              return true;
            };
        running.add(pool.submit(run));
      }
      for (Future<?> each : running) {
        each.get();
      }
      return batches.size() * A_COMMIT / ((System.nanoTime() - begin) / 1e9);
    } finally {
      open.forEach(Centre::close);
      pool.shutdownNow();
    }
  }

  private static void store(Centre centre, List<List<Arrived>> batches) throws CentreTrouble {
    ParcelBatch batch = new ParcelBatch(centre, new Months());
    for (List<Arrived> each : batches) {
      batch.store(each);
    }
  }

  /** Packs of a thousand sites with a state of a kilobyte and results, drawn by the server. */
  private static final List<String> PACKS =
      List.of(
          "INSERT INTO pack_now(site, log, pack, worst, since_ms, heard_ms, chemistry, rules)"
              + " SELECT 'site-' || n %% 1000, '00000000-0000-4000-8000-000000000001', 'p' || n,"
              + " CASE WHEN n %% 50 = 0 THEN 3 WHEN n %% 17 = 0 THEN 2 ELSE 0 END,"
              + " 1760000000000 + n * 1000::bigint, 1764000000000,"
              + " (ARRAY['lfp', 'nmc', 'lto'])[1 + n %% 3], CASE WHEN n %% 50 = 0"
              + " THEN ARRAY['leak'] WHEN n %% 17 = 0 THEN ARRAY['imbalance'] ELSE '{}' END"
              + " FROM generate_series(1, %1$d) AS n",
          "INSERT INTO pack_facts SELECT site, log, pack, jsonb_build_object('plan',"
              + " jsonb_build_object('name', 'Hut ' || pack), 'plan_text', repeat('x', 400),"
              + " 'summary', jsonb_build_object('sentence', repeat('w', 300)), 'alerts', CASE WHEN"
              + " worst > 0 THEN '[{\"rule\": \"leak\", \"priority\": \"warning\", \"text\": \"A"
              + " cell leaks.\"}]' ELSE '[]' END::jsonb) FROM pack_now",
          "INSERT INTO finding SELECT 'site-' || n %% 1000,"
              + " '00000000-0000-4000-8000-000000000001', 'p' || n, f, 0, 1760000000000 + d, 'It.',"
              + " '{\"rated_pct\": 81.5}' FROM generate_series(1, %1$d) AS n,"
              + " unnest(ARRAY['ageing', 'rest', 'energy']) AS f, generate_series(1, 3) AS d",
          "SELECT month_ready((date '2024-11-01' + m * interval '1 month')::date)"
              + " FROM generate_series(0, 23) AS m",
          "INSERT INTO day_sum SELECT 'site-' || n %% 1000, '00000000-0000-4000-8000-000000000001',"
              + " '2026-10-01', 'p' || n, 1, 1790812800000 + d * 86400000::bigint,"
              + " ARRAY['cell_1_v', 'cell_2_v', 'current_a'], ARRAY[8640, 8640, 8640],"
              + " ARRAY[32000, 32010, -500], ARRAY[33000, 33010, 0], ARRAY[34000, 34010, 500]"
              + " FROM generate_series(50, %1$d, 50) AS n, generate_series(0, 29) AS d",
          // Of those that are shown first, two years.
          "INSERT INTO day_sum SELECT site, log, date_trunc('month', d)::date, pack, session,"
              + " extract(epoch FROM d) * 1000, channel, count, min, mean, max FROM day_sum,"
              + " generate_series(timestamp '2024-11-01', '2026-09-30', interval '1 day') AS d"
              + " WHERE start_ms = 1790812800000 AND substr(pack, 2)::int <= 2500",
          "ANALYZE day_sum",
          "ANALYZE pack_now",
          "ANALYZE pack_facts",
          "ANALYZE finding");

  private void ask(int packs) throws Exception {
    try (Centre open = Centre.openForWriting(centre.address())) {
      for (String statement : PACKS) {
        open.change(
            c -> {
              Database.execute(c, String.format(statement, packs));
              return true;
            });
      }
    }
    Optional<String> any = Optional.empty();
    ask(packs, "all", new FleetQuestion(any, any, any, 50));
    ask(packs, "of a site", new FleetQuestion(Optional.of("site-7"), any, any, 50));
    ask(packs, "of a chemistry", new FleetQuestion(any, Optional.of("lto"), any, 50));
    ask(packs, "of a rule", new FleetQuestion(any, any, Optional.of("leak"), 50));
    ask(packs, "of a rule that none has", new FleetQuestion(any, any, Optional.of("frozen"), 50));
  }

  /** As the verb asks: the packs, and how many there are. */
  private void ask(int packs, String which, FleetQuestion question) throws CentreTrouble {
    double[] ms = new double[RUNS];
    try (Centre open = Centre.openForReading(centre.address())) {
      for (int i = 0; i < RUNS; i++) {
        long begin = System.nanoTime();
        question.count(open, question.ask(open));
        ms[i] = (System.nanoTime() - begin) / 1e6;
      }
    }
    print("%d packs, %s: %.0f ms, the first time %.0f (aim 100)", packs, which, middle(ms), ms[0]);
  }

  private static void written() throws Exception {
    long alone = written(false);
    long forwarded = written(true);
    print("a day at 10 s, 30 s at risk, a day run fast: %.2f MB written alone", alone / 1e6);
    print(
        "forwarded hour by hour: %.2f MB, %.1f %% more (aim 5)",
        forwarded / 1e6, 100.0 * (forwarded - alone) / alone);
  }

  private static long written(boolean isForwarded) throws Exception {
    Path folder = Files.createTempDirectory(Path.of("target"), "written");
    long before = 0;
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      if (isForwarded) {
        log.journal().begin(false);
      }
      log.writer().append("hut", new SessionStart(FleetSite.T0, 1, true, true));
      before = writtenBytes();
      for (Reading reading : new StorageDay(true, 7).readings(FleetSite.T0, 0, DAY_S)) {
        if (reading.timeMs() / 1000 % TEN_S == 0) {
          log.writer().append("hut", reading);
          log.writer().commitIfDue(reading.timeMs());
          if (isForwarded && reading.timeMs() / 1000 % 600 == 0) {
            held(log.journal());
          }
        }
      }
    }
    long bytes = writtenBytes() - before;
    delete(folder);
    return bytes;
  }

  /** What a forwarder does when a gatherer holds all. */
  private static void held(Journal journal) throws StorageFailure {
    List<Long> revs = journal.after(0, 16).stream().map(Parcel::rev).toList();
    if (!revs.isEmpty()) {
      journal.held(revs);
    }
  }

  private static long writtenBytes() throws IOException {
    for (String line : Files.readAllLines(Path.of("/proc/self/io"))) {
      if (line.startsWith("write_bytes: ")) {
        return Long.parseLong(line.substring(13));
      }
    }
    throw new IOException("/proc/self/io has no write_bytes");
  }
}
