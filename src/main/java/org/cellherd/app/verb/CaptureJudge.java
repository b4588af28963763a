package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.board.BoardListener;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/** Looks at what a description makes of a capture, and says what is hard to believe. */
final class CaptureJudge implements BoardListener {

  private static final int MOST_LINES = 30;

  private final List<String> refusals = new ArrayList<>();
  private final Set<String> doubts = new LinkedHashSet<>();
  private final Map<String, String> unlikely = new LinkedHashMap<>();
  private @Nullable PackAnalysis analysis;
  private long refusalCount;
  private long readings;
  private Optional<Reading> last = Optional.empty();

  @Override
  public void heard(String pack, LogEntry entry) {
    if (!(entry instanceof Reading reading)) {
      return;
    }
    readings++;
    last = Optional.of(reading);
    doubtScale(reading);
    PackAnalysis present = analysis;
    int cells = reading.cells().count();
    if (present == null && cells > 0) {
      PackPlan plan = PackPlan.of("board", Chemistry.LFP, cells, 1, 100_000);
      present =
          new PackAnalysis(plan, AnalysisSettings.of(plan)).only(Set.of(FindingName.PLAUSIBILITY));
      analysis = present;
    }
    if (present != null) {
      present.accept(entry);
      for (Suspicion suspicion : present.suspicions()) {
        doubts.add(
            "%s: %s; look at %s"
                .formatted(suspicion.kind().word(), suspicion.likelyCause(), suspicion.lookAt()));
      }
    }
  }

  private void doubtScale(Reading reading) {
    CellVoltages cells = reading.cells();
    OptionalInt median = cells.medianTenthMv();
    if (median.isPresent() && (median.getAsInt() < 10_000 || median.getAsInt() > 50_000)) {
      doubts.add(
          "cells at "
              + Spoken.volts(median.getAsInt() / 10.0)
              + ": scale off by ten, or the wrong place?");
    }
    CellSum.doubt(reading).ifPresent(d -> unlikely.putIfAbsent(d.name(), d.text()));
  }

  /** Notes a new refusal after a chunk. */
  void look(Dialogue dialogue, long line) {
    for (Dialogue.Doubt doubt : dialogue.doubts()) {
      String rest = doubt.isKept() ? ")" : "), left out";
      unlikely.putIfAbsent(doubt.name(), doubt.text() + " (before line " + line + rest);
    }
    long refused = dialogue.counts().framesRefused();
    Optional<Refusal> refusal = dialogue.lastRefusal();
    if (refused > refusalCount && refusal.isPresent() && refusals.size() < MOST_LINES) {
      Refusal why = refusal.get();
      refusals.add(
          "line %s: refused, %s at byte %s: %s"
              .formatted(line, why.reason().word(), why.offset(), why.detail()));
    }
    refusalCount = refused;
  }

  long readings() {
    return readings;
  }

  Optional<Reading> last() {
    return last;
  }

  /** What is hard to believe, in words. */
  List<String> doubtful() {
    return List.copyOf(doubts);
  }

  /** True when something was understood and nothing is doubted. */
  boolean isGood() {
    return readings > 0 && doubts.isEmpty() && unlikely.isEmpty();
  }

  List<String> lines(LineCounts counts) {
    List<String> lines = new ArrayList<>(refusals);
    if (refusalCount > refusals.size()) {
      lines.add("and " + (refusalCount - refusals.size()) + " more refused");
    }
    doubts.forEach(d -> lines.add("doubt   " + d));
    unlikely.forEach((name, why) -> lines.add("doubt   " + name + " " + why));
    lines.add(
        "%s, %s taken, %s refused, %s outside any frame"
            .formatted(
                Spoken.counted(readings, "reading"),
                Spoken.counted(counts.framesTaken(), "frame"),
                counts.framesRefused(),
                Spoken.counted(counts.bytesThrownAway(), "byte")));
    return lines;
  }

  @Override
  public void otherBoard(String pack, String before, String now) {
    doubts.add("the board was " + before + " and is now " + now);
  }
}
