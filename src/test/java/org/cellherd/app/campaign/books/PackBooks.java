package org.cellherd.app.campaign.books;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.LineFault;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;

/**
 * One pack's log held against what its board was asked for. The log is walked in order; what is
 * missing between two readings must have a cause that the log tells, or one of the campaign's.
 */
final class PackBooks {

  /** From here on the numbers of a board that does not belong to the pack. */
  static final int STRANGERS = 1_000_000_000;

  /** Three missed polls make a gap; the fourth is under way. */
  private static final double MOST_PACES = 4.6;

  /** Of a damaged log, whose gaps may be gone too, shorter holes are not looked for. */
  private static final long SHORT_MS = 30_000;

  /** A silence teaches no more patience than it took to call it so. */
  private static final int TAUGHT = 3;

  /** A fault is felt for so long after it is over: back-off and the quiet time of a late answer. */
  private static final long ECHO_MS = 35_000;

  /** Faults whose answers belong to an earlier question. */
  private static final Set<CampaignFault> LATE =
      Set.of(LineFault.SOME_LATE, LineFault.VERY_LATE, LineFault.ANSWERS_BEHIND);

  /** Questions queue up behind the answer under way, for as long as they come faster. */
  private static final long LATE_MS = 60_000;

  private final BoardRecord record;
  private final Chronicle chronicle;
  private final List<Run> runs;
  private final long paceMs;
  private final Set<Integer> stored = new HashSet<>();
  final List<String> wrong = new ArrayList<>();
  final List<String> holes = new ArrayList<>();
  final List<Lost> lostByDamage = new ArrayList<>();
  int sent;
  int kept;
  int strangers;
  int unheard;
  int atRisk;
  int missedPolls;
  int late;
  int shortHoles;
  int unexplained;
  private int lastNumber = -1;
  private long lastMs = Long.MIN_VALUE;
  private int damaged;

  /** The first reading of another board since the last of ours. */
  private long strangerMs = Long.MAX_VALUE;

  /** The longest time between two readings of this run so far: by it a board is called silent. */
  private long usualMs;

  private boolean isExplained = true;

  PackBooks(BoardRecord record, Chronicle chronicle, List<Run> runs, long paceMs) {
    this.record = record;
    this.chronicle = chronicle;
    this.runs = runs;
    this.usualMs = paceMs;
    this.paceMs = paceMs;
  }

  /** Takes the log's entries, in their order. */
  void accept(LogEntry entry) {
    if (!(entry instanceof Reading reading)) {
      isExplained = true;
      usualMs = entry instanceof SessionStart ? paceMs : usualMs;
      return;
    }
    int number = reading.boardMah().orElse(-1);
    if (number >= STRANGERS) {
      strangers++;
      strangerMs = Math.min(strangerMs, reading.timeMs());
      isExplained = true;
      return;
    }
    Optional<BoardRecord.Sent> truth = record.byNumber(number);
    if (truth.isEmpty()) {
      wrong.add("no such reading was sent: number " + number);
    } else if (!stored.add(number)) {
      wrong.add("stored twice: number " + number + " of " + at(truth.get().trueMs()));
    } else {
      judge(reading, truth.get());
    }
  }

  private void judge(Reading reading, BoardRecord.Sent truth) {
    if (isLate(reading, truth)) {
      late++;
    } else if (!isTrue(reading, truth)) {
      wrong.add(
          "stored is not what was sent: number "
              + truth.number()
              + " of "
              + at(truth.trueMs())
              + ", cells of "
              + nearest(reading, truth)
              + ": "
              + reading.cells()
              + " for "
              + truth.reading().cells());
    }
    if (truth.number() < lastNumber) {
      wrong.add("out of order: " + truth.number() + " after " + lastNumber);
    }
    missing(lastNumber, truth.number());
    close(Math.min(strangerMs, reading.timeMs()));
    strangerMs = Long.MAX_VALUE;
    lastNumber = Math.max(lastNumber, truth.number());
    lastMs = reading.timeMs();
    isExplained = false;
  }

  /** A poll of two messages may end when the board has already measured anew. */
  private boolean isTrue(Reading reading, BoardRecord.Sent truth) {
    for (int back = 0; back <= 3; back++) {
      Optional<BoardRecord.Sent> sent = record.byNumber(truth.number() - back);
      if (sent.isPresent() && sent.get().reading().cells().equals(reading.cells())) {
        return true;
      }
    }
    return false;
  }

  /**
   * True of cells that were sent a while before, on a line that delivers late and in order: no
   * protocol without a number in its answers can tell them from new ones.
   */
  private boolean isLate(Reading reading, BoardRecord.Sent truth) {
    long ms = truth.trueMs();
    return !isTrue(reading, truth)
        && chronicle.any(LATE::contains, ms - LATE_MS, ms)
        && record.latest(ms, LATE_MS).stream()
            .anyMatch(sent -> sent.reading().cells().equals(reading.cells()));
  }

  /** By how many readings the nearest one with these cells lies away; empty when none does. */
  private String nearest(Reading reading, BoardRecord.Sent truth) {
    for (int away = 0; away <= 60; away++) {
      for (int number : new int[] {truth.number() - away, truth.number() + away}) {
        boolean isSame =
            record
                .byNumber(number)
                .filter(s -> s.reading().cells().equals(reading.cells()))
                .isPresent();
        if (isSame) {
          return number - truth.number() + " readings away";
        }
      }
    }
    return "no reading near";
  }

  /** What lies between two stored readings. */
  private void missing(int before, int after) {
    Optional<BoardRecord.Sent> first = before < 0 ? Optional.empty() : record.byNumber(before);
    long fromMs = first.map(BoardRecord.Sent::trueMs).orElse(Long.MIN_VALUE);
    long toMs = record.byNumber(after).map(BoardRecord.Sent::trueMs).orElse(Long.MAX_VALUE);
    boolean isHole = before >= 0 && toMs - fromMs > MOST_PACES * usualMs;
    if (isHole && !isExplained) {
      if (toMs - fromMs < SHORT_MS
          && runs.stream().anyMatch(r -> r.isDamaging() && r.toMs() >= fromMs)) {
        shortHoles++;
      } else {
        holes.add(at(fromMs) + " to " + at(toMs));
      }
    }
    if (before >= 0) {
      usualMs = Math.max(usualMs, Math.min(TAUGHT * usualMs, toMs - fromMs));
    }
    for (int number = before + 1; number < after; number++) {
      record.byNumber(number).ifPresent(s -> book(s, isHole));
    }
  }

  /** What the board sent behind the last stored reading. */
  void end() {
    sent = record.all().size();
    kept = stored.size();
    for (int number = lastNumber + 1; record.byNumber(number).isPresent(); number++) {
      book(record.byNumber(number).orElseThrow(), true);
    }
    close(Long.MAX_VALUE);
  }

  /** What was lost to damage before a reading of the log that is there. */
  private void close(long untilMs) {
    if (damaged > 0) {
      lostByDamage.add(new Lost(lastMs, untilMs, damaged, paceMs));
      damaged = 0;
    }
  }

  /** Readings lost to damage of which the program said so much. */
  int lost(Lost.Said said, List<ToldLoss> told) {
    return lostByDamage.stream().filter(l -> l.said(told) == said).mapToInt(Lost::readings).sum();
  }

  private void book(BoardRecord.Sent lost, boolean isHole) {
    long ms = lost.trueMs();
    Optional<Run> run = runs.stream().filter(r -> r.holds(ms)).findFirst();
    if (chronicle.any(f -> f.family() == FaultFamily.LINE, ms - ECHO_MS, ms)) {
      unheard++;
    } else if (run.isEmpty() || ms < run.get().fromMs() + Run.START_MS) {
      unheard++;
    } else if (run.get().mayLose(ms)) {
      atRisk++;
    } else if (runs.stream().anyMatch(r -> r.isDamaging() && r.toMs() >= ms)) {
      damaged++;
    } else if (chronicle.any(f -> f.family() == FaultFamily.PROCESS, ms - ECHO_MS, ms)) {
      unheard++;
    } else if (!isHole) {
      missedPolls++;
    } else if (isExplained) {
      unheard++;
    } else {
      unexplained++;
      wrong.add("lost without a cause: number " + lost.number() + " of " + at(ms));
    }
  }

  private static String at(long ms) {
    return Instant.ofEpochMilli(ms).toString();
  }
}
