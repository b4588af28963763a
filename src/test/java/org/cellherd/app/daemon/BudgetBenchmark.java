package org.cellherd.app.daemon;

import static java.nio.charset.StandardCharsets.ISO_8859_1;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.BooleanSupplier;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.FreePort;
import org.cellherd.JavaCommand;
import org.cellherd.app.SystemTime;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.board.LinkException;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.sim.TcpBoardServer;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What the whole program costs, in a process of its own with the options of its unit file, beside
 * simulated boards on TCP. Prints one line a figure, beside its aim and an empty Java program of
 * the same run, and asserts nothing. Measures the class folders, or what a user has: the installed
 * package.
 *
 * <pre>mvn -B -Pquick test -Dtest=BudgetBenchmark -Dcellherd.program=cellherd</pre>
 */
class BudgetBenchmark {

  private static final int SECONDS = Integer.getInteger("cellherd.seconds", 30);
  private static final int WARM_UP_S = 20;
  private static final int BOARDS = Integer.getInteger("cellherd.boards", 16);
  private static final Pattern TIME = Pattern.compile("\"time\":\"([^\"]+)\"");
  private static final Pattern EVENT = Pattern.compile("\"change\":\"(raised|cleared)\"");
  private static final Pattern SENT =
      Pattern.compile("cellherd/bench/pack(\\d+)/event[^/]*" + EVENT.pattern());
  private static final Optional<String> PROGRAM =
      Optional.ofNullable(System.getProperty("cellherd.program"));
  private static final String LIST = "classes.list";
  private static final Pattern SPENT = Pattern.compile("(\\d+)m([0-9.]+)s");

  @TempDir private Path folder;
  private final int pagePort = FreePort.find();
  private final SystemTime time = new SystemTime();
  private final List<TcpBoardServer> servers = new ArrayList<>();
  private final List<Thread> threads = new ArrayList<>();

  private static void print(String format, Object... values) {
    System.out.printf(Locale.ROOT, format + "%n", values);
  }

  @Test
  void boards() throws Exception {
    print("aims with page and broker: 60 MB and 1.2 s with 1 board, 85 MB with 64");
    try (Program idle = Program.start(folder, empty(StartOptions.UNIT, "60"))) {
      TimeUnit.SECONDS.sleep(5);
      print(
          "an empty Java program: resident %.1f MB",
          ProcessUsage.of(idle.pid()).residentKb() / 1024.0);
      idle.terminate();
    }
    for (int count : new int[] {1, 16, 64}) {
      run(count, 16, 10);
    }
    for (int cells : new int[] {4, 8}) {
      run(1, cells, 10);
    }
    run(1, 16, 30);
  }

  /** What a long log costs: an invented solar day at 10 s, again and again. */
  @Test
  void months() throws Exception {
    List<Reading> day = day();
    for (int months : new int[] {0, 1, 3, 12}) {
      Files.deleteIfExists(folder.resolve("log.db"));
      boards(1, 16, false);
      try (InProcessBroker broker = InProcessBroker.start()) {
        config(broker.url(), 1, 16, 10);
        write(day, months * 30);
        // The first start reads the whole log; it leaves a saved state for the others.
        double first = start(broker.url());
        double next = start(broker.url());
        print(
            "a log of %d months at 10 s, %.1f MB: first reading told after %.2f s when nothing was"
                + " saved, later %.2f s; balance of the last month %.2f s, energy of all %.2f s",
            months,
            Files.size(folder.resolve("log.db")) / 1e6,
            first,
            next,
            verb("balance", "--from", "30d"),
            verb("energy"));
      } finally {
        stopBoards();
      }
    }
  }

  private static List<Reading> day() {
    return new StorageDay(true, 5)
        .readings(0, 0, 86_400).stream().filter(r -> r.timeMs() % 10_000 == 0).toList();
  }

  private void write(List<Reading> day, int days) throws StorageFailure {
    long end = time.wallMs() / 86_400_000 * 86_400_000;
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER);
        Importer importer = log.importer("pack0")) {
      for (int i = days; i > 0; i--) {
        for (Reading reading : day) {
          importer.add(reading.atTime(end - i * 86_400_000L + reading.timeMs()));
        }
      }
    }
  }

  /** Seconds from a start to the first reading at a client of the broker. */
  private double start(BrokerUrl broker) throws Exception {
    AtomicLong heardNanos = new AtomicLong();
    long begin = time.monotonicNanos();
    // What the run before left at the broker does not count.
    long beginMs = time.wallMs();
    try (TopicListener ear =
            TopicListener.start(
                broker,
                "cellherd/bench/pack0/reading",
                (t, payload, retained) -> {
                  Matcher at = TIME.matcher(payload);
                  if (at.find() && Instant.parse(at.group(1)).toEpochMilli() > beginMs) {
                    heardNanos.compareAndSet(0, time.monotonicNanos());
                  }
                });
        Program daemon = Program.start(folder, command(StartOptions.UNIT, "run"))) {
      await(() -> heardNanos.get() != 0);
      TimeUnit.SECONDS.sleep(3);
      daemon.terminate();
      ear.awaitQuiet(Duration.ofMillis(50), Duration.ofSeconds(1));
    }
    return (heardNanos.get() - begin) / 1e9;
  }

  /** Wall seconds and seconds of processor that a program needs from start to end. */
  private record Spent(double wallS, double busyS) {}

  private Spent spent(List<String> command) throws Exception {
    // The shell's word for what its children used: a process that has ended tells no more.
    List<String> timed =
        new ArrayList<>(List.of("sh", "-c", "\"$@\" >verb.out 2>&1 && times", "sh"));
    timed.addAll(command);
    long begin = time.monotonicNanos();
    Process shell = new ProcessBuilder(timed).directory(folder.toFile()).start();
    String times = new String(shell.getInputStream().readAllBytes(), ISO_8859_1);
    if (shell.waitFor() != 0) {
      throw new IllegalStateException(Files.readString(folder.resolve("verb.out")));
    }
    double wallS = (time.monotonicNanos() - begin) / 1e9;
    Matcher of = SPENT.matcher(times.lines().skip(1).findFirst().orElse(""));
    double busyS = 0;
    while (of.find()) {
      busyS += 60 * Integer.parseInt(of.group(1)) + Double.parseDouble(of.group(2));
    }
    return new Spent(wallS, busyS);
  }

  private double verb(String... arguments) throws Exception {
    return spent(command(StartOptions.VERB, arguments)).wallS();
  }

  /** What is typed by hand, on 90 days of an invented log at 10 s; the middle one of seven. */
  @Test
  void verbs() throws Exception {
    boards(1, 16, false);
    try (InProcessBroker broker = InProcessBroker.start()) {
      config(broker.url(), 1, 16, 10);
      write(day(), 90);
      // Leaves saved states.
      start(broker.url());
    } finally {
      stopBoards();
    }
    verb("an empty Java program", Double.NaN, empty(StartOptions.VERB, "0"));
    verb("--version", 0.2, command(StartOptions.VERB, "--version"));
    verb("--help", 0.2, command(StartOptions.VERB, "--help"));
    for (String verb : List.of("balance", "capacity", "resistance", "ageing", "energy", "alerts")) {
      verb(verb + ", 90 days of log", 0.5, command(StartOptions.VERB, verb));
    }
  }

  private void verb(String what, double aimS, List<String> command) throws Exception {
    List<Spent> seven = new ArrayList<>();
    for (int i = 0; i < 7; i++) {
      seven.add(spent(command));
    }
    double wallS = seven.stream().mapToDouble(Spent::wallS).sorted().toArray()[3];
    double busyS = seven.stream().mapToDouble(Spent::busyS).sorted().toArray()[3];
    print("%s: %.2f s, %.2f s of processor (aim %.1f s)", what, wallS, busyS, aimS);
  }

  @Test
  void night() throws Exception {
    long begin = time.monotonicNanos();
    List<String> command =
        command(List.of("-XX:+UseSerialGC", "-XX:-UsePerfData", "-XX:TieredStopAtLevel=1"), "demo");
    Process demo =
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("demo.out").toFile())
            .start();
    long busyMs = 0;
    while (demo.isAlive()) {
      busyMs = Math.max(busyMs, demo.info().totalCpuDuration().map(d -> d.toMillis()).orElse(0L));
      TimeUnit.MILLISECONDS.sleep(50);
    }
    print(
        "a night of 12 h at 1 Hz end to end: %.1f s, %.1f s of processor",
        (time.monotonicNanos() - begin) / 1e9, busyMs / 1e3);
  }

  @Test
  void latency() throws Exception {
    List<Long> received = Collections.synchronizedList(new ArrayList<>());
    List<Long> handed = Collections.synchronizedList(new ArrayList<>());
    List<RestlessBoard> boards = boards(BOARDS, 16, true);
    try (InProcessBroker broker = InProcessBroker.start();
        BrokenPath path =
            new BrokenPath(
                broker.url().port(),
                (buffer, length) -> {
                  Matcher event = SENT.matcher(new String(buffer, 0, length, ISO_8859_1));
                  while (event.find()) {
                    handed.add(since(boards, event.group(1)));
                  }
                });
        TopicListener ear =
            TopicListener.start(
                broker.url(),
                "cellherd/bench/+/event",
                (topic, payload, retained) -> {
                  if (EVENT.matcher(payload).find()) {
                    received.add(since(boards, topic.split("/", -1)[2].substring(4)));
                  }
                })) {
      config(new BrokerUrl(false, "127.0.0.1", path.port()), BOARDS, 16, 10);
      try (Program daemon = Program.start(folder, command(StartOptions.UNIT, "run"))) {
        TimeUnit.SECONDS.sleep(WARM_UP_S + Math.max(60, SECONDS));
        daemon.terminate();
      }
      ear.awaitQuiet(Duration.ofMillis(300), Duration.ofSeconds(5));
    } finally {
      stopBoards();
    }
    percentiles("the event on the way to the broker", handed);
    percentiles("the event at a second client of the broker", received);
  }

  private long since(List<RestlessBoard> boards, String pack) {
    return time.monotonicNanos() - boards.get(Integer.parseInt(pack)).answeredNanos();
  }

  private static void percentiles(String until, List<Long> nanos) {
    long[] sorted = nanos.stream().mapToLong(n -> n).sorted().toArray();
    print(
        "alert, last byte sent by the board to %s, %d events: the first %.1f,"
            + " median %.1f, 90th %.1f, 99th %.1f, greatest %.1f ms (aim, 99th: 10)",
        until,
        sorted.length,
        nanos.isEmpty() ? Double.NaN : nanos.get(0) / 1e6,
        at(sorted, 0.5),
        at(sorted, 0.9),
        at(sorted, 0.99),
        at(sorted, 1));
  }

  private static double at(long[] sorted, double share) {
    return sorted.length == 0
        ? Double.NaN
        : sorted[(int) Math.min(sorted.length - 1, share * sorted.length)] / 1e6;
  }

  /** One row of the table: a fresh log, a broker, and some boards at 1 Hz. */
  private void run(int count, int cells, int atRiskS) throws Exception {
    Files.deleteIfExists(folder.resolve("log.db"));
    boards(count, cells, false);
    AtomicLong heardNanos = new AtomicLong();
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(
                broker.url(),
                "cellherd/bench/pack0/reading",
                (t, p, r) -> heardNanos.compareAndSet(0, time.monotonicNanos()))) {
      config(broker.url(), count, cells, atRiskS);
      long begin = time.monotonicNanos();
      try (Program daemon = Program.start(folder, command(StartOptions.UNIT, "run"))) {
        await(() -> heardNanos.get() != 0);
        await(this::hasReading);
        long storedNanos = time.monotonicNanos();
        TimeUnit.SECONDS.sleep(WARM_UP_S);
        ProcessUsage before = ProcessUsage.of(daemon.pid());
        TimeUnit.SECONDS.sleep(SECONDS);
        ProcessUsage after = ProcessUsage.of(daemon.pid());
        print(
            "%2d boards of %2d cells at 1 Hz, %d s at risk: resident %.1f MB (own %.1f), %.2f %% of"
                + " a core, %.1f MB a day written, first reading told after %.2f s and in the log"
                + " after %.2f s",
            count,
            cells,
            atRiskS,
            after.residentKb() / 1024.0,
            after.ownKb() / 1024.0,
            (after.busyMs() - before.busyMs()) / 10.0 / SECONDS,
            (after.writtenBytes() - before.writtenBytes()) * 86_400.0 / SECONDS / 1e6,
            (heardNanos.get() - begin) / 1e9,
            (storedNanos - begin) / 1e9);
        daemon.terminate();
        ear.awaitQuiet(Duration.ofMillis(50), Duration.ofSeconds(1));
      }
    } finally {
      stopBoards();
    }
  }

  private boolean hasReading() {
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      AtomicLong readings = new AtomicLong();
      file.history()
          .replay(
              "pack0",
              Long.MIN_VALUE,
              Long.MAX_VALUE,
              e -> readings.addAndGet(e instanceof Reading ? 1 : 0));
      return readings.get() > 0;
    } catch (StorageFailure notYet) {
      return false;
    }
  }

  private static void await(BooleanSupplier condition) throws InterruptedException {
    while (!condition.getAsBoolean()) {
      TimeUnit.MILLISECONDS.sleep(20);
    }
  }

  /** A package knows its own options. */
  private static List<String> command(List<String> options, String... arguments) {
    List<String> command = new ArrayList<>();
    PROGRAM.ifPresentOrElse(
        command::add, () -> command.addAll(java(options, "org.cellherd.app.verb.Main")));
    command.addAll(List.of(arguments));
    return command;
  }

  /** The yardstick: Java that sleeps some seconds. */
  private static List<String> empty(List<String> options, String seconds) {
    List<String> command = java(options, EmptyProgram.class.getName());
    command.add(seconds);
    return command;
  }

  private static List<String> java(List<String> options, String main) {
    List<String> all = new ArrayList<>(options);
    String more = System.getProperty("cellherd.jvm", "");
    all.addAll(more.isEmpty() ? List.of() : Arrays.asList(more.split(" ", -1)));
    return JavaCommand.of(all, main);
  }

  /**
   * Writes anew which classes the package archives: those that a run with alert, broker and page
   * loads, and those of the verbs that are typed most.
   */
  @Test
  void classes() throws Exception {
    Set<String> classes = new TreeSet<>();
    List<RestlessBoard> boards = boards(1, 16, true);
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear = TopicListener.start(broker.url(), "cellherd/#", (t, p, r) -> {})) {
      config(broker.url(), 1, 16, 10);
      write(day(), 30);
      try (Program daemon = Program.start(folder, command(listing(StartOptions.UNIT), "run"))) {
        await(() -> boards.get(0).answeredNanos() != 0);
        await(this::isEventStored);
        for (String page : List.of("/", "/pack/pack0", "/metrics")) {
          URI.create("http://127.0.0.1:" + pagePort + page).toURL().openStream().readAllBytes();
        }
        daemon.terminate();
      }
      ear.awaitQuiet(Duration.ofMillis(300), Duration.ofSeconds(5));
    } finally {
      stopBoards();
    }
    classes.addAll(Files.readAllLines(folder.resolve(LIST)));
    for (String verb : List.of("--help", "balance", "capacity", "resistance", "energy", "alerts")) {
      spent(command(listing(StartOptions.VERB), verb));
      classes.addAll(Files.readAllLines(folder.resolve(LIST)));
    }
    classes.removeIf(line -> line.startsWith("#"));
    Files.write(Path.of("src/deb", LIST), classes);
    print("%d classes and lambdas", classes.size());
  }

  private static List<String> listing(List<String> options) {
    List<String> more = new ArrayList<>(options);
    more.add("-XX:DumpLoadedClassList=" + LIST);
    return more;
  }

  private boolean isEventStored() {
    try (LogFile file = LogFile.open(folder.resolve("log.db"), OpenMode.READER)) {
      return !file.events(0, Long.MAX_VALUE).isEmpty();
    } catch (StorageFailure notYet) {
      return false;
    }
  }

  private List<RestlessBoard> boards(int count, int cells, boolean isOver) throws LinkException {
    List<RestlessBoard> boards = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      // Each board has trouble of its own, at its own time.
      long phaseMs = i * RestlessBoard.OVER_MS * 2 / count;
      RestlessBoard board = new RestlessBoard(cells, isOver, phaseMs, time);
      TcpBoardServer server = new TcpBoardServer(board, time, 0, false);
      Thread thread = new Thread(() -> serve(server), "board-" + i);
      thread.setDaemon(true);
      thread.start();
      boards.add(board);
      servers.add(server);
      threads.add(thread);
    }
    return boards;
  }

  private static void serve(TcpBoardServer server) {
    try {
      server.serve(() -> true);
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
    }
  }

  private void stopBoards() {
    servers.forEach(TcpBoardServer::close);
    servers.clear();
    threads.forEach(Thread::interrupt);
    threads.clear();
  }

  private void config(BrokerUrl broker, int count, int cells, int atRiskS) throws IOException {
    StringBuilder text = new StringBuilder();
    text.append("site = \"bench\"\n[store]\nfile = \"log.db\"\nat_risk_s = ").append(atRiskS);
    text.append("\n[mqtt]\nurl = \"").append(broker).append("\"\n");
    text.append("[page]\nlisten = \"127.0.0.1:").append(pagePort).append("\"\n");
    for (int i = 0; i < count; i++) {
      text.append(
          String.format(
              Locale.ROOT,
              "[[pack]]%nid = \"pack%d\"%nchemistry = \"lfp\"%nseries = %d%nparallel = 1%n"
                  + "rated_ah = 27%n[pack.line]%nspec = \"sorrel-16\"%nlink = \"tcp:127.0.0.1:%d\"%n"
                  + "poll_s = 1%n",
              i,
              cells,
              servers.get(i).port()));
    }
    Files.writeString(folder.resolve("cellherd.toml"), text);
  }
}
