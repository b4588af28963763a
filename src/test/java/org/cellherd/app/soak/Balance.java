package org.cellherd.app.soak;

import java.io.PrintStream;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * The books of a campaign.
 *
 * @param heard readings that the daemon took in
 * @param stored readings that the log holds
 * @param atRisk lost at the end of a killed run, within what may be at risk there
 * @param byDamage lost from a run or before it whose file was damaged and salvaged
 * @param unexplained lost without such a reason
 * @param holes stretches between two readings that no gap, start or clock step explains
 * @param told events that were told
 * @param delivered of them, how many a second client received
 * @param strangers events that were received and never told
 * @param inOrder true when they were first received in the order in which they were told
 * @param faults what went wrong meanwhile
 */
record Balance(
    int heard,
    int stored,
    int atRisk,
    int byDamage,
    int unexplained,
    List<String> holes,
    int told,
    int delivered,
    int strangers,
    boolean inOrder,
    Soak.Faults faults) {

  /** Readings of 10 s, and the one that was just taken in. */
  private static final long AT_RISK_MS = 10_000;

  /** Three missed polls make a gap. */
  private static final double MOST_PACES = 3.6;

  static Balance of(
      Path log, String pack, long paceMs, Ledger ledger, Soak.Faults faults, List<String> received)
      throws StorageFailure {
    Walk walk = new Walk(paceMs);
    try (LogFile file = LogFile.open(log, OpenMode.READER)) {
      file.history().replay(pack, Long.MIN_VALUE, Long.MAX_VALUE, walk::accept);
    }
    // At the fastest pace, and one more that was under way.
    int mayBeLost = (int) (AT_RISK_MS / 1000) + 2;
    Losses losses = new Losses(ledger, faults.damagedRuns(), mayBeLost);
    losses.compare(walk.stored);
    Set<String> told = new HashSet<>(ledger.told());
    List<String> ours = received.stream().filter(told::contains).toList();
    List<String> inOrder =
        ledger.told().stream().distinct().filter(new HashSet<>(ours)::contains).toList();
    return new Balance(
        ledger.heard().size(),
        walk.stored.size(),
        losses.atRisk,
        losses.byDamage,
        losses.unexplained,
        walk.holes,
        told.size(),
        ours.size(),
        received.size() - ours.size(),
        ours.equals(inOrder),
        faults);
  }

  boolean isBalanced() {
    return unexplained == 0 && holes.isEmpty() && delivered == told && strangers == 0 && inOrder;
  }

  void print(PrintStream out) {
    faults.print(out);
    out.printf(
        Locale.ROOT,
        "readings:    %,d heard = %,d stored + %d at risk when killed + %d by damage + %d unexplained;"
            + " %d holes%n",
        heard,
        stored,
        atRisk,
        byDamage,
        unexplained,
        holes.size());
    holes.stream().limit(20).forEach(hole -> out.println("  hole:      " + hole));
    out.printf(
        Locale.ROOT,
        "events:      %,d told, %,d delivered%s, %d strangers%n",
        told,
        delivered,
        inOrder ? " in order" : " OUT OF ORDER",
        strangers);
    out.println(isBalanced() ? "The books balance." : "THE BOOKS DO NOT BALANCE.");
  }

  /** Reads the log once. */
  private static final class Walk {
    private final double mostMs;
    private final List<Integer> stored = new ArrayList<>();
    private final List<String> holes = new ArrayList<>();
    private long lastMs;
    private boolean isExplained = true;

    Walk(long paceMs) {
      this.mostMs = MOST_PACES * paceMs;
    }

    void accept(LogEntry entry) {
      if (!(entry instanceof Reading reading)) {
        isExplained = true;
        return;
      }
      boolean isHole = reading.timeMs() <= lastMs || reading.timeMs() - lastMs > mostMs;
      if (!isExplained && isHole) {
        holes.add(Instant.ofEpochMilli(lastMs) + " to " + Instant.ofEpochMilli(reading.timeMs()));
      }
      isExplained = false;
      lastMs = reading.timeMs();
      stored.add(Ledger.print(reading));
    }
  }

  /** Where what was heard is missing from what was stored. */
  private static final class Losses {
    private final Ledger ledger;
    private final List<Integer> damagedRuns;
    private final int mayBeLost;
    private int atRisk;
    private int byDamage;
    private int unexplained;

    Losses(Ledger ledger, List<Integer> damagedRuns, int mayBeLost) {
      this.ledger = ledger;
      this.damagedRuns = damagedRuns;
      this.mayBeLost = mayBeLost;
    }

    void compare(List<Integer> stored) {
      int next = 0;
      int run = 0;
      List<Integer> heard = ledger.heard();
      for (int i = 0; i < heard.size(); i++) {
        while (i >= ledger.runEnds().get(run)) {
          run++;
        }
        if (next < stored.size() && stored.get(next).equals(heard.get(i))) {
          next++;
        } else {
          lost(i, run);
        }
      }
      unexplained += stored.size() - next;
    }

    private void lost(int i, int run) {
      int last = run;
      if (ledger.runEnds().get(run) - i <= mayBeLost) {
        atRisk++;
      } else if (damagedRuns.stream().anyMatch(damaged -> damaged > last)) {
        byDamage++;
      } else {
        unexplained++;
      }
    }
  }
}
