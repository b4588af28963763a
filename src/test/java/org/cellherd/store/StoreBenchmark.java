package org.cellherd.store;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.Temperatures;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;

/**
 * Measures the store and prints one line a figure. Run it with {@code -XX:+UseSerialGC
 * -XX:-UsePerfData}, which is how the daemon runs.
 *
 * <pre>
 * size DAY.csv...     stored bytes a sample, file and all, beside the entropy of first differences
 * written SECONDS     bytes written to the disk a day at 10 s and 30 s at risk: a day run fast,
 *                     and SECONDS of real time scaled to a day
 * speed PAGE DAYS     import, replay, and queries on a log of some days
 * </pre>
 */
public final class StoreBenchmark {
  private static final int CHANNELS = 22;
  private static final int DAY_S = 86_400;
  private static final long DAY_MS = 86_400_000;
  private static final long T0 = 1_767_225_600_000L;

  private static final int QUARTER_PAST = 4500;

  private final Path folder;

  private StoreBenchmark(Path folder) {
    this.folder = folder;
  }

  /** See the class. */
  public static void main(String[] args) throws Exception {
    Path folder = Files.createTempDirectory(Path.of("."), "store-benchmark");
    try {
      StoreBenchmark benchmark = new StoreBenchmark(folder);
      switch (args[0]) {
        case "size" -> benchmark.sizes(args);
        case "written" -> benchmark.written(Integer.parseInt(args[1]));
        case "speed" -> benchmark.speed(Integer.parseInt(args[1]), Integer.parseInt(args[2]));
        default -> throw new IllegalArgumentException(args[0]);
      }
    } finally {
      try (Stream<Path> files = Files.list(folder)) {
        for (Path file : files.toList()) {
          Files.delete(file);
        }
      }
      Files.delete(folder);
    }
  }

  private static void print(String format, Object... values) {
    System.out.printf(Locale.ROOT, format + "%n", values);
  }

  private void sizes(String[] args) throws IOException, StorageFailure {
    for (int i = 1; i < args.length; i++) {
      List<Reading> day = read(Path.of(args[i]));
      for (int page : new int[] {512, 1024, 2048, 4096}) {
        Path file = folder.resolve("size-" + i + "-" + page + ".db");
        StoreSettings settings = StoreSettings.DEFAULT.withPageBytes(page);
        try (LogFile log = LogFile.open(file, OpenMode.WRITER, settings)) {
          live(log, day);
          Reading last = day.get(day.size() - 1);
          log.writer().append("pack-1", last.atTime(last.timeMs() + 3_600_000));
          log.writer().commit();
          log.writer().commit();
        }
        double samples = (double) day.size() * CHANNELS;
        print(
            "%s page %d: %.4f bytes a sample, file and all (entropy of first differences %.4f)",
            args[i], page, Files.size(file) / samples, entropy(day) / samples);
      }
    }
  }

  private static void live(LogFile log, List<Reading> readings) throws StorageFailure {
    log.writer().append("pack-1", new SessionStart(readings.get(0).timeMs(), 1, true, true));
    for (Reading reading : readings) {
      log.writer().append("pack-1", reading);
      log.writer().commitIfDue(reading.timeMs());
    }
  }

  private static double entropy(List<Reading> day) {
    double bits = 0;
    List<Channel> channels = new ArrayList<>();
    channels.add(Channel.of(Channel.Kind.CURRENT));
    channels.add(Channel.of(Channel.Kind.PACK_VOLTAGE));
    for (int n = 1; n <= 16; n++) {
      channels.add(Channel.cell(n));
    }
    for (int n = 1; n <= 4; n++) {
      channels.add(Channel.temperature(n));
    }
    for (Channel channel : channels) {
      Map<Long, Integer> counts = new HashMap<>();
      for (int i = 1; i < day.size(); i++) {
        long step =
            day.get(i).value(channel).orElseThrow() - day.get(i - 1).value(channel).orElseThrow();
        counts.merge(step, 1, Integer::sum);
      }
      for (int n : counts.values()) {
        bits -= n * Math.log((double) n / (day.size() - 1)) / Math.log(2);
      }
    }
    return bits / 8;
  }

  /** A day whose columns are time, current, pack, 16 cells and 4 temperatures. */
  private static List<Reading> read(Path csv) throws IOException {
    List<Reading> day = new ArrayList<>();
    try (Stream<String> lines = Files.lines(csv)) {
      lines
          .skip(1)
          .forEach(
              line -> {
                String[] f = line.split(",", -1);
                int[] cells = new int[16];
                for (int c = 0; c < 16; c++) {
                  cells[c] = scaled(f[3 + c], 10_000);
                }
                int[] temperatures = new int[4];
                for (int s = 0; s < 4; s++) {
                  temperatures[s] = scaled(f[19 + s], 10);
                }
                day.add(
                    Reading.at(T0 + day.size() * 1000L)
                        .currentMa(scaled(f[1], 1000))
                        .packMv(scaled(f[2], 1000))
                        .cells(CellVoltages.ofTenthMv(cells))
                        .temperatures(Temperatures.ofTenthC(temperatures))
                        .build());
              });
    }
    return day;
  }

  private static int scaled(String text, int scale) {
    return (int) Math.round(Double.parseDouble(text) * scale);
  }

  private void written(int seconds) throws Exception {
    List<Reading> day = new StorageDay(true, 7).readings(T0, 0, DAY_S);
    for (int page : new int[] {512, 1024}) {
      for (int atRiskS : new int[] {10, 30}) {
        StoreSettings settings =
            StoreSettings.DEFAULT.withPageBytes(page).withAtRiskMs(atRiskS * 1000L);
        Path file = folder.resolve("fast-" + page + "-" + atRiskS + ".db");
        long before = writtenBytes();
        try (LogFile log = LogFile.open(file, OpenMode.WRITER, settings)) {
          live(log, day);
        }
        print(
            "page %d, %d s at risk, a day run fast: %.1f MB written, file %.2f MB",
            page, atRiskS, (writtenBytes() - before) / 1e6, Files.size(file) / 1e6);
      }
    }
    for (int atRiskS : new int[] {10, 30}) {
      realTime(1024, atRiskS, seconds, day);
    }
  }

  private void realTime(int page, int atRiskS, int seconds, List<Reading> day) throws Exception {
    if (seconds == 0) {
      return;
    }
    StoreSettings settings =
        StoreSettings.DEFAULT.withPageBytes(page).withAtRiskMs(atRiskS * 1000L);
    Path file = folder.resolve("real-" + page + "-" + atRiskS + ".db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER, settings)) {
      // Begins behind a full hour: packing is in the figure of the day run fast.
      live(log, day.subList(0, QUARTER_PAST));
      log.writer().commit();
      long before = writtenBytes();
      long start = System.nanoTime();
      for (int i = QUARTER_PAST; i < QUARTER_PAST + seconds; i++) {
        log.writer().append("pack-1", day.get(i));
        log.writer().commitIfDue((System.nanoTime() - start) / 1_000_000);
        Thread.sleep(
            Math.max(0, (i - QUARTER_PAST + 1) * 1000L - (System.nanoTime() - start) / 1_000_000));
      }
      // Whatever the kernel has not written yet is not missed: it is counted when dirtied.
      double scaled = (double) (writtenBytes() - before) * DAY_S / seconds;
      print(
          "page %d, %d s at risk, %d s in real time: %.1f MB a day, whole process",
          page, atRiskS, seconds, scaled / 1e6);
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

  private void speed(int page, int days) throws Exception {
    List<Reading> day = new StorageDay(true, 7).readings(0, 0, DAY_S);
    Path file = folder.resolve("year.db");
    StoreSettings settings = StoreSettings.DEFAULT.withPageBytes(page);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER, settings)) {
      Stopwatch watch = new Stopwatch();
      try (Importer importer = log.importer("pack-1")) {
        for (int d = 0; d < days; d++) {
          for (Reading reading : day) {
            importer.add(reading.atTime(T0 + d * DAY_MS + reading.timeMs()));
          }
        }
      }
      watch.print("import", (long) days * DAY_S);
      watch = new Stopwatch();
      long[] sum = new long[1];
      log.history().replay("pack-1", 0, Long.MAX_VALUE, entry -> sum[0] += entry.timeMs() & 1);
      watch.print("replay", (long) days * DAY_S);
    }
    print("page %d: %d days in %.1f MB", page, days, Files.size(file) / 1e6);
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      queries(log);
    }
  }

  /** Wall time, and the thread's processor time: what it would take on a machine of its own. */
  private static final class Stopwatch {
    private final long wall = System.nanoTime();
    private final long processor = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();

    void print(String what, long readings) {
      double seconds = (System.nanoTime() - wall) / 1e9;
      double busy =
          (ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() - processor) / 1e9;
      double millions = readings * CHANNELS / 1e6;
      StoreBenchmark.print(
          "%s: %.1f s, %.2f million samples/s; %.1f s of processor, %.2f million/s",
          what, seconds, millions / seconds, busy, millions / busy);
    }
  }

  private static void queries(LogFile log) throws StorageFailure {
    Statistics statistics = log.statistics();
    long end = T0 + 400 * DAY_MS;
    for (int round = 0; round < 3; round++) {
      long t = System.nanoTime();
      statistics.hourStatistics("pack-1", Channel.cell(5), T0, end);
      long t2 = System.nanoTime();
      for (int cell = 1; cell <= 16; cell++) {
        statistics.dayStatistics("pack-1", Channel.cell(cell), T0, end);
      }
      long t3 = System.nanoTime();
      long[] count = new long[1];
      long from = T0 + 20 * DAY_MS;
      log.history().replay("pack-1", from, from + DAY_MS, entry -> count[0]++);
      long t4 = System.nanoTime();
      print(
          "year of one channel by hour %.1f ms, of 16 cells by day %.1f ms, raw day %.1f ms (%d)",
          (t2 - t) / 1e6, (t3 - t2) / 1e6, (t4 - t3) / 1e6, count[0]);
    }
  }
}
