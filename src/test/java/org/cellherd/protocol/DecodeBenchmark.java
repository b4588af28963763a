package org.cellherd.protocol;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.Specs;

/**
 * How fast each shipped decoder turns answers into readings, by one thread: prints readings and
 * megabytes a second of that thread's processor time, so that other programs count little. Answers
 * are made beforehand by the same description.
 */
public final class DecodeBenchmark {
  private static final int RECORDED = 200;
  private static final double SECONDS = 1.0;

  private DecodeBenchmark() {}

  /** Runs it; the last of three rounds counts. */
  public static void main(String[] args) {
    Specs.shipped().forEach(DecodeBenchmark::measure);
    measure(Specs.find("sunspec").orElseThrow());
  }

  private static void measure(Decoder decoder) {
    List<List<byte[]>> cycles = record(decoder);
    String line = "";
    for (int round = 0; round < 3; round++) {
      line = round(decoder, cycles);
    }
    System.out.println(line);
  }

  /** The answers to each question of so many cycles. */
  private static List<List<byte[]>> record(Decoder decoder) {
    Random random = new Random(5);
    Responder board = decoder.responder(1).orElseThrow();
    Dialogue dialogue = decoder.dialogue(1);
    List<List<byte[]>> cycles = new ArrayList<>();
    for (int i = 0; i < RECORDED; i++) {
      Reading truth = PlausibleReadings.any(random);
      List<byte[]> answers = new ArrayList<>();
      dialogue.begin();
      for (Optional<byte[]> q = question(dialogue); q.isPresent(); q = question(dialogue)) {
        byte[] answer = board.feed(q.get(), () -> truth);
        answers.add(answer);
        feed(dialogue, answer, i);
      }
      if (dialogue.isListenOnly()) {
        answers.add(board.announce(truth));
      }
      cycles.add(answers);
    }
    return cycles;
  }

  private static Optional<byte[]> question(Dialogue dialogue) {
    return dialogue.nextRequest().map(Request::bytes);
  }

  /** Feeds an answer and takes every reading that comes of it. */
  private static int feed(Dialogue dialogue, byte[] answer, long timeMs) {
    int readings = 0;
    Dialogue.Progress progress = dialogue.feed(answer, 0, answer.length);
    if (progress == Dialogue.Progress.NEED_MORE) {
      progress = dialogue.silence();
    }
    while (progress != Dialogue.Progress.NEED_MORE) {
      readings += dialogue.reading(timeMs).isPresent() ? 1 : 0;
      progress = dialogue.feed(answer, 0, 0);
    }
    return readings;
  }

  private static long processorNanos() {
    return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
  }

  private static String round(Decoder decoder, List<List<byte[]>> cycles) {
    Dialogue dialogue = decoder.dialogue(1);
    long bytes = 0;
    long readings = 0;
    long begun = processorNanos();
    long until = begun + (long) (SECONDS * 1e9);
    for (int i = 0; processorNanos() < until; i = (i + 1) % cycles.size()) {
      dialogue.begin();
      for (byte[] answer : cycles.get(i)) {
        dialogue.nextRequest();
        readings += feed(dialogue, answer, readings * 1000);
        bytes += answer.length;
      }
    }
    double seconds = (processorNanos() - begun) / 1e9;
    return String.format(
        Locale.ROOT,
        "%-10s %,10.0f readings/s %8.1f MB/s",
        decoder.id(),
        readings / seconds,
        bytes / seconds / 1e6);
  }
}
