package org.cellherd.app.campaign.books;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.ToLongFunction;

/**
 * What a process holds over its life: threads, sockets, other open files, memory, and what it
 * prints. What is flat is judged by the longest life alone, its first quarter against its last.
 */
public final class Vitals {

  /** Classes are loaded, caches filled. */
  private static final long GROWN_UP_MS = 60_000;

  /** A connection to the broker begins with three threads of its client library while one ends. */
  private static final long MORE_THREADS = 4;

  /** A page that is looked at, a broker and a board connected anew, their ends not yet closed. */
  private static final long MORE_SOCKETS = 6;

  /** A file that is being written, one that is being read. */
  private static final long MORE_FILES = 4;

  /**
   * The heap may be anywhere between a collection and its limit of 64 MB, whose pages once used
   * stay; what grows without end is found by a longer life, and passes a quarter of it.
   */
  private static final long MORE_KB = 16 * 1024;

  /**
   * A fault is said when it begins and when it is over, by the line or the broker, and by an alert
   * that is raised and cleared, of two packs: eight lines of 250 bytes.
   */
  private static final long PRINTED_A_FAULT = 2_000;

  /** What a run says in any case, by the hour: how each pack is. */
  private static final long PRINTED_AN_HOUR = 4_000;

  private record Sample(long pid, long ms, long ageMs, Held held, long printed) {}

  private record Held(
      long threads, long sockets, long files, long residentKb, Map<String, Long> named) {}

  private final List<Sample> samples = new ArrayList<>();

  /** Looks at a process of this computer. */
  public void look(long pid, long trueMs, long ageMs, long printedBytes) {
    try {
      samples.add(new Sample(pid, trueMs, ageMs, held(Path.of("/proc/" + pid)), printedBytes));
    } catch (IOException ended) {
      // Between two lives.
    }
  }

  private static Held held(Path proc) throws IOException {
    long sockets = 0;
    long files = 0;
    try (var open = Files.newDirectoryStream(proc.resolve("fd"))) {
      for (Path each : open) {
        boolean isSocket = Files.readSymbolicLink(each).toString().startsWith("socket:");
        sockets += isSocket ? 1 : 0;
        files += isSocket ? 0 : 1;
      }
    }
    List<String> status = Files.readAllLines(proc.resolve("status"));
    return new Held(
        number(status, "Threads:"), sockets, files, number(status, "VmRSS:"), named(proc));
  }

  /** How many threads of each name, numbers left out. */
  private static Map<String, Long> named(Path proc) throws IOException {
    Map<String, Long> named = new TreeMap<>();
    try (var tasks = Files.newDirectoryStream(proc.resolve("task"))) {
      for (Path each : tasks) {
        named.merge(name(each.resolve("comm")), 1L, Long::sum);
      }
    }
    return named;
  }

  private static String name(Path comm) {
    try {
      return Files.readString(comm).strip().replaceAll("[-#]?\\d+$", "");
    } catch (IOException ended) {
      return "ended";
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

  /** What is not flat; empty when all is, or when no life was long enough to tell. */
  public List<String> faults(Chronicle chronicle) {
    List<Sample> life = longestLife();
    List<String> faults = new ArrayList<>();
    if (life.size() >= 8) {
      flat(faults, "threads", life, s -> s.held.threads, MORE_THREADS);
      if (!faults.isEmpty()) {
        faults.add("of them " + String.join(", ", grown(life)));
      }
      flat(faults, "sockets", life, s -> s.held.sockets, MORE_SOCKETS);
      flat(faults, "other open files", life, s -> s.held.files, MORE_FILES);
      flat(faults, "kB resident", life, s -> s.held.residentKb, MORE_KB);
      long most = mostPrinted(life, chronicle);
      long printed = printed(life);
      if (printed > most) {
        faults.add("printed " + printed + " bytes, expected at most " + most);
      }
    }
    return faults;
  }

  private static List<String> grown(List<Sample> life) {
    int quarter = life.size() / 4;
    List<String> grown = new ArrayList<>();
    life.stream()
        .flatMap(s -> s.held.named.keySet().stream())
        .distinct()
        .sorted()
        .forEach(
            name -> {
              ToLongFunction<Sample> of = s -> s.held.named.getOrDefault(name, 0L);
              long first = median(life.subList(0, quarter), of);
              long last = median(life.subList(life.size() - quarter, life.size()), of);
              if (last != first) {
                grown.add(name + " " + first + " to " + last);
              }
            });
    return grown;
  }

  private static void flat(
      List<String> faults, String what, List<Sample> life, ToLongFunction<Sample> of, long more) {
    int quarter = life.size() / 4;
    long first = median(life.subList(0, quarter), of);
    long last = median(life.subList(life.size() - quarter, life.size()), of);
    if (last > first + more) {
      faults.add(what + " grow: " + first + " in the first quarter, " + last + " in the last");
    }
  }

  private static long printed(List<Sample> life) {
    return life.get(life.size() - 1).printed - life.get(0).printed;
  }

  private static long mostPrinted(List<Sample> life, Chronicle chronicle) {
    long from = life.get(0).ms;
    long to = life.get(life.size() - 1).ms;
    return chronicle.count(from, to) * PRINTED_A_FAULT
        + Math.round(PRINTED_AN_HOUR * (1 + (to - from) / 3.6e6));
  }

  /** Tells how the longest life went, from its first minute on. */
  public void print(PrintStream out, Chronicle chronicle) {
    List<Sample> life = longestLife();
    if (life.size() < 8) {
      out.println("vitals:      no life was long enough");
      return;
    }
    long minutes = (life.get(life.size() - 1).ageMs - life.get(0).ageMs) / 60_000;
    out.printf("vitals over %d min of one life (first quarter, last quarter, most):%n", minutes);
    print(out, "threads", life, s -> s.held.threads);
    print(out, "sockets", life, s -> s.held.sockets);
    print(out, "other open files", life, s -> s.held.files);
    print(out, "resident, kB", life, s -> s.held.residentKb);
    out.printf(
        Locale.ROOT,
        "  printed          %.1f kB in %d faults%n",
        printed(life) / 1000.0,
        chronicle.count(life.get(0).ms, life.get(life.size() - 1).ms));
    out.println(
        faults(chronicle).isEmpty()
            ? "  flat"
            : "  NOT FLAT: " + String.join("; ", faults(chronicle)));
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
