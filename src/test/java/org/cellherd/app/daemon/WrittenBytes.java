package org.cellherd.app.daemon;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.logging.Handler;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.logging.Logger;
import java.util.logging.SimpleFormatter;
import java.util.stream.Stream;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.verb.RunLog;
import org.cellherd.board.FarSide;
import org.cellherd.board.Link;
import org.cellherd.board.LoopbackLink;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.store.codec.StorageDay;

/**
 * What the program writes to the card in a day, everything counted: log, tail and write-ahead log,
 * states and findings, the broker's file, and the lines that go to the journal. Noisy days of
 * invented packs at 1 Hz, 16 cells each, with broker and page, on a driven clock; the disk's writes
 * are real and the kernel counts them.
 *
 * <pre>WrittenBytes FOLDER BOARDS AT_RISK_S HOURS</pre>
 *
 * <p>The first hour of a run is not counted.
 */
public final class WrittenBytes {

  /** 2026-03-01 00:00 UTC. */
  private static final long T0 = 1_772_323_200_000L;

  private static final int DAY_S = 86_400;

  private final Path folder;
  private final SimulatedTime time = new SimulatedTime(T0);
  private final Map<String, Link> links = new HashMap<>();
  private final AtomicLong readings = new AtomicLong();

  private WrittenBytes(Path folder) {
    this.folder = folder;
  }

  /**
   * Bytes of a day.
   *
   * @param disk what the kernel was given to write
   * @param journal the lines that were logged, without what the journal adds to each
   * @param lines how many lines those were
   * @param readings how many were heard; lines that take their turns may hold less than 1 Hz
   */
  public record Day(double disk, double journal, double lines, double readings) {}

  /** See the class. */
  public static void main(String[] args) throws Exception {
    int boards = Integer.parseInt(args[1]);
    int atRiskS = Integer.parseInt(args[2]);
    int hours = Integer.parseInt(args[3]);
    Day day = of(Path.of(args[0]), boards, atRiskS, hours);
    System.out.printf(
        Locale.ROOT,
        "%d boards at %.2f Hz, %d s at risk: %.1f MB a day written, %.2f MB in %.0f lines to the"
            + " journal (%d h)%n",
        boards,
        day.readings() / DAY_S / boards,
        atRiskS,
        day.disk() / 1e6,
        day.journal() / 1e6,
        day.lines(),
        hours);
  }

  /** Runs in a folder on a disk, not in memory, which is emptied afterwards. */
  public static Day of(Path parent, int boards, int atRiskS, int hours) throws Exception {
    Path folder = Files.createTempDirectory(parent, "written");
    Journal journal = new Journal();
    Logger root = Logger.getLogger("");
    root.addHandler(journal);
    try (InProcessBroker broker = InProcessBroker.start()) {
      WrittenBytes written = new WrittenBytes(folder);
      double share = 24.0 / hours;
      long bytes = written.run(written.config(broker, boards, atRiskS), hours, journal);
      return new Day(
          bytes * share,
          journal.bytes.get() * share,
          journal.lines.get() * share,
          written.readings.get() * share);
    } finally {
      root.removeHandler(journal);
      try (Stream<Path> files = Files.list(folder)) {
        for (Path file : files.toList()) {
          Files.delete(file);
        }
      }
      Files.delete(folder);
    }
  }

  private long run(Config config, int hours, Journal journal) throws Exception {
    Daemon.Parts parts =
        new Daemon.Parts(
            time,
            new SystemTime(),
            spec -> Specs.find(spec).orElseThrow(),
            this::link,
            List.of(new RunLog(), new Count()),
            MqttListener.NONE);
    try (Daemon daemon = Daemon.open(config, parts)) {
      FastForward fast = new FastForward(daemon, time);
      fast.runUntil(TimeUnit.HOURS.toNanos(1), () -> {});
      long before = writtenBytes();
      journal.bytes.set(0);
      journal.lines.set(0);
      readings.set(0);
      fast.runUntil(TimeUnit.HOURS.toNanos(1L + hours), () -> {});
      return writtenBytes() - before;
    }
  }

  private Link link(LineConfig line) {
    return links.computeIfAbsent(
        line.link(), name -> new LoopbackLink(name, new NoisyBoard(links.size()), time));
  }

  private Config config(InProcessBroker broker, int boards, int atRiskS) throws IOException {
    StringBuilder text = new StringBuilder();
    text.append("site = \"bench\"\n[store]\nfile = \"log.db\"\nat_risk_s = ").append(atRiskS);
    text.append("\n[page]\nlisten = \"127.0.0.1:0\"\n");
    text.append("[mqtt]\nurl = \"").append(broker.url()).append("\"\n");
    for (int i = 0; i < boards; i++) {
      text.append(
          String.format(
              Locale.ROOT,
              "[[pack]]%nid = \"pack%d\"%nchemistry = \"lfp\"%nseries = 16%nparallel = 1%n"
                  + "rated_ah = 200%n[pack.line]%nspec = \"sorrel-16\"%nlink ="
                  + " \"tcp:127.0.0.1:%d\"%nbaud = 4_000_000%npoll_s = 1%n",
              i,
              20_000 + i));
    }
    Path file = folder.resolve("cellherd.toml");
    Files.writeString(file, text);
    return ConfigFiles.load(Optional.of(file));
  }

  private static long writtenBytes() throws IOException {
    for (String line : Files.readAllLines(Path.of("/proc/self/io"))) {
      if (line.startsWith("write_bytes: ")) {
        return Long.parseLong(line.substring(13));
      }
    }
    throw new IOException("/proc/self/io has no write_bytes");
  }

  /** The board of a pack of its own, second by second. */
  private final class NoisyBoard implements FarSide {
    private final StorageDay pack;
    private final Responder responder =
        Specs.find("sorrel-16").orElseThrow().responder(1).orElseThrow();

    NoisyBoard(int seed) {
      pack = new StorageDay(true, seed);
    }

    @Override
    public byte[] exchange(byte[] sent) {
      return responder.feed(
          sent,
          () -> {
            long timeMs = time.wallMs();
            int second = (int) ((timeMs - T0) / 1000);
            return pack.readings(timeMs - second * 1000L, second % DAY_S, 1).get(0);
          });
    }
  }

  /** Counts readings. */
  private final class Count implements Sink {
    @Override
    public void reading(String pack, Reading reading) {
      readings.incrementAndGet();
    }

    @Override
    public void event(AlertEvent event) {}
  }

  /** Counts what would be printed. */
  private static final class Journal extends Handler {
    private final AtomicLong bytes = new AtomicLong();
    private final AtomicLong lines = new AtomicLong();
    private final SimpleFormatter formatter = new SimpleFormatter();

    @Override
    public void publish(LogRecord entry) {
      if (entry.getLevel().intValue() >= Level.INFO.intValue()) {
        String line = formatter.formatMessage(entry);
        bytes.addAndGet(line.getBytes(StandardCharsets.UTF_8).length + 1L);
        lines.incrementAndGet();
      }
    }

    @Override
    public void flush() {}

    @Override
    public void close() {}
  }
}
