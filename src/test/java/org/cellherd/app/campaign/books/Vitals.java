package org.cellherd.app.campaign.books;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.ToLongFunction;
import java.util.stream.Stream;

/** What a process holds over its life: threads, open files, memory, and what it prints. */
public final class Vitals {

  /** Classes are loaded, caches filled. */
  private static final long GROWN_UP_MS = 60_000;

  private record Sample(
      long pid, long ageMs, long threads, long files, long residentKb, long printed) {}

  private final List<Sample> samples = new ArrayList<>();

  /** Looks at a process of this computer. */
  public void look(long pid, long ageMs, long printedBytes) {
    Path proc = Path.of("/proc/" + pid);
    try (Stream<Path> files = Files.list(proc.resolve("fd"))) {
      List<String> status = Files.readAllLines(proc.resolve("status"));
      samples.add(
          new Sample(
              pid,
              ageMs,
              number(status, "Threads:"),
              files.count(),
              number(status, "VmRSS:"),
              printedBytes));
    } catch (IOException ended) {
      // Between two lives.
    }
  }

  private static long number(List<String> status, String key) {
    return status.stream()
        .filter(line -> line.startsWith(key))
        .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")))
        .findFirst()
        .orElse(0);
  }

  private List<Sample> longestLife() {
    List<Sample> longest = List.of();
    for (long pid : samples.stream().mapToLong(Sample::pid).distinct().toArray()) {
      List<Sample> life =
          samples.stream().filter(s -> s.pid == pid && s.ageMs > GROWN_UP_MS).toList();
      longest = life.size() > longest.size() ? life : longest;
    }
    return longest;
  }

  /** Tells how the longest life went, from its first minute on. */
  public void print(PrintStream out) {
    List<Sample> life = longestLife();
    if (life.size() < 4) {
      out.println("vitals:      no life was long enough");
      return;
    }
    long minutes = (life.get(life.size() - 1).ageMs - life.get(0).ageMs) / 60_000;
    out.printf("vitals over %d min of one life (first quarter, last quarter, most):%n", minutes);
    print(out, "threads", life, Sample::threads);
    print(out, "open files", life, Sample::files);
    print(out, "resident, kB", life, Sample::residentKb);
    Sample last = life.get(life.size() - 1);
    out.printf(
        Locale.ROOT,
        "  printed          %.1f kB an hour%n",
        (last.printed - life.get(0).printed) / 1000.0 / Math.max(1, minutes) * 60);
  }

  private static void print(
      PrintStream out, String what, List<Sample> life, ToLongFunction<Sample> value) {
    int quarter = life.size() / 4;
    out.printf(
        "  %-16s %d, %d, %d%n",
        what,
        median(life.subList(0, quarter), value),
        median(life.subList(life.size() - quarter, life.size()), value),
        life.stream().mapToLong(value).max().orElse(0));
  }

  private static long median(List<Sample> some, ToLongFunction<Sample> value) {
    long[] sorted = some.stream().mapToLong(value).sorted().toArray();
    return sorted[sorted.length / 2];
  }
}
