package org.cellherd.app.campaign.books;

import java.io.PrintStream;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.OpenMode;

/**
 * The books of a campaign: what the boards sent against what the log holds, what was told against
 * what a second client received.
 */
public final class Books {

  private static final Pattern TOLD =
      Pattern.compile(
          "(?i)lost|salvag|damage|set aside|cannot be read|replaced|moved|not the file");
  private static final Pattern NUMBERED = Pattern.compile("\\d[\\d,]* readings?\\b");

  private final Chronicle chronicle;
  private final List<Run> runs;
  private final Map<String, PackBooks> packs = new LinkedHashMap<>();
  private final List<String> told;
  private final Map<String, Integer> received;

  private Books(Evidence evidence, List<String> told) {
    this.chronicle = evidence.chronicle;
    this.runs = evidence.runs;
    this.told = told;
    this.received = evidence.received;
  }

  /** What is held against the log; told: what is known to have been told beside what it says. */
  public record Evidence(
      Map<String, BoardRecord> boards,
      long paceMs,
      Chronicle chronicle,
      List<Run> runs,
      List<String> told,
      Map<String, Integer> received) {
    /** Copies the lists. */
    public Evidence {
      runs = List.copyOf(runs);
      told = List.copyOf(told);
    }
  }

  /** Reads the log. */
  public static Books of(Path log, Evidence evidence) throws StorageFailure {
    try (LogFile file = LogFile.open(log, OpenMode.READER)) {
      Set<String> told = new LinkedHashSet<>(evidence.told);
      file.events(Long.MIN_VALUE, Long.MAX_VALUE).forEach(s -> told.add(s.event().id()));
      Books books = new Books(evidence, List.copyOf(told));
      for (Map.Entry<String, BoardRecord> board : evidence.boards.entrySet()) {
        PackBooks pack =
            new PackBooks(board.getValue(), evidence.chronicle, evidence.runs, evidence.paceMs);
        file.history().replay(board.getKey(), Long.MIN_VALUE, Long.MAX_VALUE, pack::accept);
        pack.end();
        books.packs.put(board.getKey(), pack);
      }
      return books;
    }
  }

  /** Readings in the log. */
  public int stored() {
    return packs.values().stream().mapToInt(p -> p.kept).sum();
  }

  private Set<String> undelivered() {
    Set<String> missing = new LinkedHashSet<>(told);
    missing.removeAll(received.keySet());
    return missing;
  }

  /** All that is wrong; empty when the books balance. */
  public List<String> faults() {
    List<String> faults = new ArrayList<>();
    packs.forEach(
        (id, pack) -> {
          pack.wrong.forEach(w -> faults.add(id + ": " + w));
          pack.holes.forEach(h -> faults.add(id + ": hole that nothing explains: " + h));
          if (!pack.lostByDamage.isEmpty() && !isToldOf(pack.lostByDamage)) {
            faults.add(id + ": loss by damage that nobody told of");
          }
        });
    undelivered().forEach(id -> faults.add("event never delivered: " + id));
    if (runs.stream().noneMatch(Run::isDamaging)) {
      received.keySet().stream()
          .filter(id -> !told.contains(id))
          .forEach(id -> faults.add("event delivered that the log does not hold: " + id));
    }
    return faults;
  }

  /** Each loss must be told by the life in which it came about, or by the one that follows. */
  private boolean isToldOf(List<BoardRecord.Sent> lost) {
    return runs.stream()
        .filter(run -> run.toMs() >= lost.get(0).trueMs())
        .anyMatch(run -> TOLD.matcher(run.text()).find() && NUMBERED.matcher(run.text()).find());
  }

  /** Prints them. */
  public void print(PrintStream out) {
    out.printf("faults:      %,d of %d kinds%n", chronicle.size(), kinds());
    chronicle
        .counts()
        .forEach(
            (family, counts) ->
                out.println("  " + family.name().toLowerCase(Locale.ROOT) + " " + counts));
    long killed = runs.stream().filter(Run::wasKilled).count();
    out.printf("runs:        %d, %d of them killed%n", runs.size(), killed);
    packs.forEach((id, pack) -> print(out, id, pack));
    int repeats = received.values().stream().mapToInt(n -> n - 1).sum();
    out.printf(
        "events:      %,d told, %,d received, %d of them more than once, %d never%n",
        told.size(), received.size(), repeats, undelivered().size());
  }

  private int kinds() {
    return chronicle.counts().values().stream().mapToInt(Map::size).sum();
  }

  private static void print(PrintStream out, String id, PackBooks p) {
    out.printf(
        Locale.ROOT,
        "%-12s %,d asked for = %,d stored + %d not heard + %d missed polls + %d at risk"
            + " + %d by damage + %d unexplained; %d of another board; %d holes%n",
        id + ":",
        p.sent,
        p.kept,
        p.unheard,
        p.missedPolls,
        p.atRisk,
        p.lostByDamage.size(),
        p.unexplained,
        p.strangers,
        p.holes.size());
    if (!p.lostByDamage.isEmpty()) {
      BoardRecord.Sent first = p.lostByDamage.get(0);
      BoardRecord.Sent last = p.lostByDamage.get(p.lostByDamage.size() - 1);
      out.println(
          "  by damage between "
              + Instant.ofEpochMilli(first.trueMs())
              + " and "
              + Instant.ofEpochMilli(last.trueMs()));
    }
  }
}
