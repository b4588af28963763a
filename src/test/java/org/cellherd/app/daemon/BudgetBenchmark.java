package org.cellherd.app.daemon;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import org.cellherd.app.SystemTime;
import org.cellherd.board.LinkException;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonLimits;
import org.cellherd.json.JsonProblem;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.mqtt.InProcessBroker;
import org.cellherd.mqtt.TopicListener;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.TcpBoardServer;

/**
 * The whole program as its own process with the flags of the service's unit: boards of 16 cells at
 * 1 Hz over TCP, broker and page on. Prints a line for each number of boards: start to first
 * reading, resident memory, processor, bytes written a day; then how long alerts take from the
 * reading to a second client.
 *
 * <pre>
 * SECONDS [BOARDS...]      of measurement, after as many of warming up; 1 16 64 boards unless told
 * </pre>
 */
public final class BudgetBenchmark {
  private static final List<String> FLAGS =
      List.of(
          "-XX:+UseSerialGC", "-XX:-UsePerfData", "-Xss512k", "-Xmx24m", "-XX:TieredStopAtLevel=1");
  private static final Path NATIVES = Path.of("target/natives/org/sqlite/native/Linux/x86_64");
  private static final double TICKS_PER_SECOND = 100;
  private static final double DAY_S = 86_400;

  private final SystemTime time = new SystemTime();
  private final AtomicBoolean isOver = new AtomicBoolean();
  private final List<Long> delaysMs = Collections.synchronizedList(new ArrayList<>());

  private BudgetBenchmark() {}

  /** See the class. */
  public static void main(String[] args) throws Exception {
    int seconds = args.length > 0 ? Integer.parseInt(args[0]) : 60;
    List<Integer> counts =
        args.length > 1
            ? Stream.of(args).skip(1).map(Integer::valueOf).toList()
            : List.of(1, 16, 64);
    System.out.println("boards  first reading s  resident MB  core %  written MB/day");
    for (int count : counts) {
      new BudgetBenchmark().steady(count, seconds);
    }
    new BudgetBenchmark().alerts(8, seconds);
    System.exit(0);
  }

  private void steady(int boards, int seconds) throws Exception {
    Path folder = Files.createTempDirectory("budget");
    try (InProcessBroker broker = InProcessBroker.start()) {
      String config = config(boards, "first-night-16s", 1, broker.url().toString());
      Files.writeString(folder.resolve("cellherd.toml"), config);
      long begun = time.monotonicNanos();
      Process daemon = start(folder);
      double first = awaitLive(folder, boards, begun);
      sleep(seconds);
      Usage before = Usage.of(daemon.pid());
      sleep(seconds);
      Usage after = Usage.of(daemon.pid());
      System.out.printf(
          Locale.ROOT,
          "%6d %16.2f %12.1f %7.2f %15.1f%n",
          boards,
          first,
          after.residentKb / 1024.0,
          100.0 * (after.ticks - before.ticks) / TICKS_PER_SECOND / seconds,
          (after.written - before.written) / 1e6 * DAY_S / seconds);
      daemon.destroy();
      daemon.waitFor();
    }
    isOver.set(true);
  }

  private void alerts(int boards, int seconds) throws Exception {
    Path folder = Files.createTempDirectory("budget");
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(
                broker.url(), "cellherd/bench/+/event", (t, text, r) -> event(text))) {
      String config = config(boards, "runaway", 40, broker.url().toString());
      Files.writeString(folder.resolve("cellherd.toml"), config);
      Process daemon = start(folder);
      sleep(3 * seconds);
      daemon.destroy();
      daemon.waitFor();
      ear.awaitQuiet(Duration.ofMillis(300), Duration.ofSeconds(5));
    }
    isOver.set(true);
    List<Long> sorted = delaysMs.stream().sorted().toList();
    if (!sorted.isEmpty()) {
      System.out.printf(
          Locale.ROOT,
          "alerts: %d, from the reading to a second client: median %d, 99th percentile %d, most %d ms%n",
          sorted.size(),
          sorted.get(sorted.size() / 2),
          sorted.get((int) (sorted.size() * 0.99)),
          sorted.get(sorted.size() - 1));
    }
  }

  /** Only what a reading raises comes with that reading's time. */
  private void event(String text) {
    long now = System.currentTimeMillis();
    try {
      JsonValue event = new JsonReader(JsonLimits.MESSAGE).read(text);
      if (event.text("change").filter("raised"::equals).isPresent()
          && event
              .text("rule")
              .filter(rule -> rule.matches("runner|cell-high|limit-ahead"))
              .isPresent()) {
        delaysMs.add(now - IsoTime.ms(event.text("time").orElseThrow()).orElseThrow());
      }
    } catch (JsonProblem notOurs) {
      throw new IllegalStateException(text, notOurs);
    }
  }

  private String config(int boards, String scenario, double speed, String broker)
      throws LinkException {
    StringBuilder text = new StringBuilder("site = \"bench\"\n[mqtt]\nurl = \"" + broker + "\"\n");
    text.append("[page]\nlisten = \"127.0.0.1:0\"\n");
    for (int i = 0; i < boards; i++) {
      Scenario played = Scenarios.open(scenario).withSeed(i + 1);
      int series = played.plans().get(0).series();
      text.append(
          """
          [[pack]]
          id = "pack-%d"
          chemistry = "lfp"
          series = %d
          parallel = 1
          rated_ah = %.1f
          charge_mv = %d
          [pack.line]
          spec = "%s"
          link = "tcp:127.0.0.1:%d"
          """
              .formatted(
                  i + 1,
                  series,
                  played.plans().get(0).ratedAh(),
                  played.plans().get(0).chargeMv(),
                  played.rig().packs().get(0).decoder(),
                  play(played, speed)));
    }
    return text.toString();
  }

  /** A board on a port of its own, in a thread of this process. */
  private int play(Scenario scenario, double speed) throws LinkException {
    long begun = time.monotonicNanos();
    SimulatedBoard board =
        SimulatedBoard.of(
            scenario,
            () ->
                scenario.startMs()
                    + (long) ((time.monotonicNanos() - begun) / 1_000_000.0 * speed));
    TcpBoardServer server = new TcpBoardServer(board, time, 0);
    Thread thread =
        new Thread(
            () -> {
              try {
                server.serve(() -> !isOver.get());
              } catch (InterruptedException ended) {
                Thread.currentThread().interrupt();
              }
            },
            "board");
    thread.setDaemon(true);
    thread.start();
    return server.port();
  }

  private static Process start(Path folder) throws IOException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(FLAGS);
    if (Files.isDirectory(NATIVES)) {
      command.add("-Dorg.sqlite.lib.path=" + NATIVES.toAbsolutePath());
      command.add("-Dorg.sqlite.lib.name=libsqlitejdbc.so");
    }
    command.addAll(List.of("-cp", classPath(), "org.cellherd.app.Main", "run"));
    return new ProcessBuilder(command)
        .directory(folder.toFile())
        .redirectErrorStream(true)
        .redirectOutput(folder.resolve("out").toFile())
        .start();
  }

  /** Relative entries would be looked for in the daemon's folder. */
  private static String classPath() {
    return String.join(
        ":",
        Stream.of(System.getProperty("java.class.path").split(":"))
            .map(entry -> Path.of(entry).toAbsolutePath().toString())
            .toList());
  }

  private double awaitLive(Path folder, int boards, long begun) throws Exception {
    double first = 0;
    long live = 0;
    while (live < boards) {
      Thread.sleep(20);
      live =
          Files.readString(folder.resolve("out")).lines().filter(l -> l.endsWith(": live")).count();
      if (first == 0 && live > 0) {
        first = (time.monotonicNanos() - begun) / 1e9;
      }
    }
    return first;
  }

  private static void sleep(int seconds) throws InterruptedException {
    Thread.sleep(seconds * 1000L);
  }

  /** What the kernel says of a process. */
  private record Usage(long residentKb, long ticks, long written) {
    static Usage of(long pid) throws IOException {
      String stat = Files.readString(Path.of("/proc/" + pid + "/stat"));
      String[] fields = stat.substring(stat.lastIndexOf(')') + 2).split(" ");
      return new Usage(
          field(Path.of("/proc/" + pid + "/status"), "VmRSS:"),
          Long.parseLong(fields[11]) + Long.parseLong(fields[12]),
          field(Path.of("/proc/" + pid + "/io"), "write_bytes:"));
    }

    private static long field(Path file, String name) throws IOException {
      return Files.readString(file)
          .lines()
          .filter(line -> line.startsWith(name))
          .map(line -> Long.parseLong(line.replaceAll("[^0-9]", "")))
          .findFirst()
          .orElseThrow();
    }
  }
}
