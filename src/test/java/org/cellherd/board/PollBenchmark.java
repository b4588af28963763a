package org.cellherd.board;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.IntStream;
import org.cellherd.ComputerTime;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;

/**
 * How long polls of 16 cells take over a pseudo-terminal whose far side lets each byte take the
 * time of 9600 baud and thinks for 20 ms: prints the median against that time. Needs socat.
 */
public final class PollBenchmark {
  private static final long DELAY_NANOS = 20_000_000L;
  private static final int POLLS = 60;
  private static final LineSettings LINE = LineSettings.DEFAULT;

  private PollBenchmark() {}

  /** Measures the boards named, or two that differ in their frames. */
  public static void main(String[] ids) throws Exception {
    for (String id : ids.length == 0 ? new String[] {"sorrel-16", "teasel-16"} : ids) {
      measure(Specs.find(id).orElseThrow());
    }
  }

  private static void measure(Decoder decoder) throws Exception {
    Path folder = Files.createTempDirectory("poll");
    ComputerTime time = new ComputerTime();
    AtomicInteger bytes = new AtomicInteger();
    AtomicInteger requests = new AtomicInteger();
    long[] at = new long[POLLS];
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        SerialLink far = new SerialLink(pair.far.toString(), time)) {
      far.open(LINE);
      Thread board = new Thread(() -> answer(far, decoder, bytes, requests), "board");
      board.setDaemon(true);
      board.start();
      HeardListener heard = new HeardListener();
      LinePoller poller =
          new LinePoller(
              new SerialLink(pair.near.toString(), time),
              List.of(new BoardOnLine("p", decoder.dialogue(1), LINE, Duration.ofNanos(1))),
              LineClock.of(time),
              heard);
      int seen = 0;
      while (seen < POLLS) {
        poller.step();
        if (heard.readings().size() > seen) {
          at[seen++] = System.nanoTime();
        }
      }
      print(decoder, at, bytes.get() / (double) seen, requests.get() / (double) seen);
      poller.stop();
      poller.run();
    }
  }

  private static void print(Decoder decoder, long[] at, double bytes, double requests) {
    long[] cycles = IntStream.range(1, POLLS).mapToLong(i -> at[i] - at[i - 1]).sorted().toArray();
    double cycle = cycles[cycles.length / 2] / 1e6;
    double least = bytes * LINE.wireNanos(1) / 1e6 + requests * DELAY_NANOS / 1e6;
    double quiet = requests * HalfDuplexLine.quietNanos(LINE) / 1e6;
    System.out.printf(
        Locale.ROOT,
        "%-10s %.1f requests, %.0f bytes a poll: wire and board %.1f ms, 3.5 characters of quiet"
            + " %.1f ms, poll %.1f ms: factor %.3f, of what the line allows %.3f%n",
        decoder.id(),
        requests,
        bytes,
        least,
        quiet,
        cycle,
        cycle / least,
        cycle / (least + quiet));
  }

  private static void answer(
      SerialLink far, Decoder decoder, AtomicInteger bytes, AtomicInteger requests) {
    Responder board = decoder.responder(1).orElseThrow();
    Reading truth =
        Reading.at(0)
            .cells(CellVoltages.ofMv(IntStream.range(3300, 3316).toArray()))
            .packMv(53_000)
            .currentMa(-4_000)
            .build();
    byte[] buffer = new byte[256];
    try {
      while (far.isOpen()) {
        int n = far.read(buffer, 50);
        long begun = System.nanoTime();
        byte[] answer = board.feed(Arrays.copyOf(buffer, n), () -> truth);
        bytes.addAndGet(n + answer.length);
        if (answer.length > 0) {
          requests.incrementAndGet();
          // A pseudo-terminal hands a request over at once: its time on the wire passes here.
          say(far, answer, begun + LINE.wireNanos(n) + DELAY_NANOS);
        }
      }
    } catch (LinkException gone) {
      System.out.println(gone.getMessage());
    }
  }

  /** Each byte is there when its last bit would be. */
  private static void say(SerialLink far, byte[] answer, long from) throws LinkException {
    for (int i = 0; i < answer.length; i++) {
      long due = from + LINE.wireNanos(i + 1);
      while (System.nanoTime() < due) {
        LockSupport.parkNanos(Math.min(200_000, due - System.nanoTime()));
      }
      far.write(new byte[] {answer[i]});
    }
  }
}
