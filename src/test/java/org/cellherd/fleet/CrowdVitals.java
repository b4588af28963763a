package org.cellherd.fleet;

import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Supplier;

/**
 * Memory and processor time of programs that are watched, a look a minute. Memory is the
 * proportional set size: what several processes share counts once.
 */
final class CrowdVitals {

  /** As the campaign of one site has it: what grows without end passes this. */
  private static final double MORE_MB = 16;

  private static final int FEWEST = 8;
  private static final long TICKS_A_SECOND = 100;

  private final Map<String, Supplier<List<Long>>> programs = new LinkedHashMap<>();
  private final Map<String, List<Double>> looks = new LinkedHashMap<>();
  private final Map<String, Long> ticks = new LinkedHashMap<>();

  /** Watches a program, whose processes may change. */
  void watch(String name, Supplier<List<Long>> pids) {
    programs.put(name, pids);
  }

  /**
   * Looks at all.
   *
   * @param seconds since the last look
   */
  String look(double seconds) throws IOException {
    List<String> parts = new ArrayList<>();
    for (Map.Entry<String, Supplier<List<Long>>> each : programs.entrySet()) {
      double mb = 0;
      long used = 0;
      for (long pid : each.getValue().get()) {
        mb += proportionalKb(pid) / 1024.0;
        used += ticks(pid);
      }
      looks.computeIfAbsent(each.getKey(), name -> new ArrayList<>()).add(mb);
      long before = ticks.getOrDefault(each.getKey(), used);
      ticks.put(each.getKey(), used);
      double share = 100.0 * Math.max(0, used - before) / TICKS_A_SECOND / seconds;
      parts.add(String.format(Locale.ROOT, "%s %.0f MB %.0f %%", each.getKey(), mb, share));
    }
    return String.join(", ", parts);
  }

  /** Processor time that each has taken so far, in seconds, of the processes it has now. */
  Map<String, Double> used() throws IOException {
    Map<String, Double> used = new LinkedHashMap<>();
    for (Map.Entry<String, Supplier<List<Long>>> each : programs.entrySet()) {
      long all = 0;
      for (long pid : each.getValue().get()) {
        all += ticks(pid);
      }
      used.put(each.getKey(), (double) all / TICKS_A_SECOND);
    }
    return used;
  }

  private static long proportionalKb(long pid) throws IOException {
    try {
      return Files.readAllLines(Path.of("/proc/" + pid + "/smaps_rollup")).stream()
          .filter(line -> line.startsWith("Pss:"))
          .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")))
          .findFirst()
          .orElse(0);
    } catch (FileSystemException ended) {
      return 0;
    }
  }

  private static long ticks(long pid) throws IOException {
    try {
      String stat = Files.readString(Path.of("/proc/" + pid + "/stat"));
      String[] words = stat.substring(stat.lastIndexOf(')') + 2).split(" ", -1);
      return Long.parseLong(words[11]) + Long.parseLong(words[12]);
    } catch (FileSystemException ended) {
      return 0;
    }
  }

  /** Of each program how its memory went; true when all of it is flat after the first quarter. */
  boolean tell() {
    boolean isFlat = true;
    for (Map.Entry<String, List<Double>> each : looks.entrySet()) {
      List<Double> mb = each.getValue();
      int quarter = mb.size() / 4;
      if (mb.size() < FEWEST) {
        System.out.println(each.getKey() + ": too few minutes to tell");
        continue;
      }
      double second = middle(mb.subList(quarter, 2 * quarter));
      double last = middle(mb.subList(mb.size() - quarter, mb.size()));
      boolean grows = last > second + MORE_MB;
      isFlat &= !grows;
      System.out.printf(
          Locale.ROOT,
          "%s: %.0f MB in the second quarter, %.0f in the last, %.0f at most: %s%n",
          each.getKey(),
          second,
          last,
          mb.stream().mapToDouble(d -> d).max().orElse(0),
          grows ? "GROWS" : "flat");
    }
    return isFlat;
  }

  private static double middle(List<Double> some) {
    double[] sorted = some.stream().mapToDouble(d -> d).sorted().toArray();
    return sorted[sorted.length / 2];
  }
}
