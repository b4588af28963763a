package org.cellherd.app.campaign.books;

import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * The books of a campaign: what the boards sent against what the log holds, what was told against
 * what a second client received.
 */
public final class Books {

  private static final Pattern HARMED =
      Pattern.compile("(?i)salvag|damage|is empty|gone or empty|set aside|replaced|moved");

  private final Chronicle chronicle;
  private final List<Run> runs;
  private final Map<String, PackBooks> packs = new LinkedHashMap<>();
  private final List<String> told;
  private final List<Vanished> vanished;
  private final Map<String, Integer> received;

  private Books(Evidence evidence, List<String> told) {
    this.chronicle = evidence.chronicle;
    this.runs = evidence.runs;
    this.told = told;
    this.vanished = evidence.vanished;
    this.received = evidence.received;
  }

  /** What is held against the log; told: what is known to have been told beside what it says. */
  public record Evidence(
      Map<String, BoardRecord> boards,
      long paceMs,
      Chronicle chronicle,
      List<Run> runs,
      List<String> told,
      List<Vanished> vanished,
      Map<String, Integer> received) {
    /** Copies the lists. */
    public Evidence {
      runs = List.copyOf(runs);
      told = List.copyOf(told);
      vanished = List.copyOf(vanished);
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

  /** What went wrong meanwhile. */
  public Chronicle chronicle() {
    return chronicle;
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
    List<String> faults = readingFaults();
    undelivered().stream()
        .filter(id -> !isDestroyed(id) && !isNeverWritten(id))
        .forEach(id -> faults.add("event never delivered: " + id));
    if (runs.stream().noneMatch(Run::isDamaging)) {
      received.keySet().stream()
          .filter(id -> !told.contains(id))
          .forEach(id -> faults.add("event delivered that the log does not hold: " + id));
    }
    return faults;
  }

  /** What is wrong with the readings of all packs. */
  public List<String> readingFaults() {
    List<String> faults = new ArrayList<>();
    packs.forEach(
        (id, pack) -> {
          pack.wrong.forEach(w -> faults.add(id + ": " + w));
          pack.holes.forEach(h -> faults.add(id + ": hole that nothing explains: " + h));
          pack.lostByDamage.stream()
              .filter(lost -> lost.said(told(id)) == Lost.Said.NOTHING)
              .forEach(lost -> faults.add(id + ": lost by damage, and nobody said so: " + lost));
        });
    return faults;
  }

  private List<ToldLoss> told(String pack) {
    return runs.stream()
        .flatMap(run -> ToldLoss.in(run.text()).stream())
        .filter(t -> t.pack().equals(pack))
        .toList();
  }

  /** Of an undelivered event: that a fault destroyed it, and the program said that something is. */
  private boolean isDestroyed(String id) {
    return lastHeldBy(id)
        .filter(run -> runs.get(run).isDamaging() && run + 1 < runs.size())
        .filter(run -> HARMED.matcher(runs.get(run + 1).text()).find())
        .isPresent();
  }

  /** Of an undelivered event: that the disk took nothing until the run that told it was killed. */
  private boolean isNeverWritten(String id) {
    return lastHeldBy(id)
        .map(runs::get)
        .filter(run -> chronicle.any(FaultFamily.DISK, run.toMs() - 60_000, run.toMs()))
        .isPresent();
  }

  private Optional<Integer> lastHeldBy(String id) {
    return vanished.stream().filter(v -> v.event().equals(id)).map(Vanished::run).findFirst();
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
        "events:      %,d told, %,d received, %d of them more than once; never: %d destroyed with"
            + " their log before a broker had them, %d never written to a full disk, %d else%n",
        told.size(),
        received.size(),
        repeats,
        undelivered().stream().filter(this::isDestroyed).count(),
        undelivered().stream().filter(id -> !isDestroyed(id) && isNeverWritten(id)).count(),
        undelivered().stream().filter(id -> !isDestroyed(id) && !isNeverWritten(id)).count());
  }

  private int kinds() {
    return chronicle.counts().values().stream().mapToInt(Map::size).sum();
  }

  private void print(PrintStream out, String id, PackBooks p) {
    List<ToldLoss> told = told(id);
    out.printf(
        Locale.ROOT,
        "%-12s %,d asked for = %,d stored + %d not heard + %d missed polls + %d at risk"
            + " + %d by damage + %d unexplained; %d of another board; %d with cells of an earlier"
            + " answer; %d holes, %d short ones in a damaged log%n",
        id + ":",
        p.sent,
        p.kept,
        p.unheard,
        p.missedPolls,
        p.atRisk,
        p.lostByDamage.stream().mapToInt(Lost::readings).sum(),
        p.unexplained,
        p.strangers,
        p.late,
        p.holes.size(),
        p.shortHoles);
    out.printf(
        Locale.ROOT,
        "  by damage: said with number and span %,d, by span only %,d, not at all %,d%n",
        p.lost(Lost.Said.NUMBER, told),
        p.lost(Lost.Said.SPAN, told),
        p.lost(Lost.Said.NOTHING, told));
    p.lostByDamage.forEach(lost -> out.println("    " + lost + ": " + lost.said(told)));
  }
}
