package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.CaptureChunk;
import org.cellherd.board.CaptureReplay;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineCounts;
import org.cellherd.protocol.bringup.Recording;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/** Runs a drafted description on the capture that it was made from. */
final class DraftTrial {

  /** So many bytes are decoded: more of the same line tell nothing new of a draft. */
  private static final long MOST_BYTES = 1 << 21;

  /**
   * What came of it.
   *
   * @param counts frames taken and refused
   * @param judge what it said of the readings
   * @param last the last of them
   */
  private record Run(LineCounts counts, CaptureJudge judge, Optional<Reading> last) {

    /** Pages without a number are told apart by their questions only: readings count first. */
    boolean isBetter(Run other) {
      return judge.readings() == other.judge.readings()
          ? counts.framesTaken() > other.counts.framesTaken()
          : judge.readings() > other.judge.readings();
    }
  }

  private final Recording heard;
  private final int address;

  DraftTrial(Recording heard, int address) {
    this.heard = heard;
    this.address = address;
  }

  /** What the draft takes and refuses, and what its last reading says. */
  List<String> lines(String draft) {
    Problems problems = new Problems();
    Optional<Decoder> asked = Specs.read("draft", draft, problems);
    Optional<Decoder> listening =
        Specs.read("draft", draft.replaceFirst("talk = \"poll\"", "talk = \"listen\""), problems);
    if (asked.isEmpty() || listening.isEmpty()) {
      return List.of("The draft does not load: " + problems);
    }
    Run best = run(listening.get());
    if (!asked.get().dialogue(address).isListenOnly()) {
      Run polled = run(asked.get());
      best = polled.isBetter(best) ? polled : best;
    }
    return lines(best);
  }

  private Run run(Decoder decoder) {
    Dialogue dialogue = decoder.dialogue(address);
    CaptureJudge judge = new CaptureJudge();
    CaptureReplay replay =
        new CaptureReplay(List.of(BoardOnLine.alone(dialogue, decoder.line())), judge);
    long[] left = {MOST_BYTES};
    heard.replay(
        (atMs, toBoard, bytes) -> {
          CaptureChunk.Direction way =
              toBoard ? CaptureChunk.Direction.TX : CaptureChunk.Direction.RX;
          replay.take(new CaptureChunk(atMs, way, bytes));
          judge.look(dialogue, 0);
          left[0] -= bytes.length;
          return left[0] > 0;
        });
    replay.end();
    return new Run(dialogue.counts(), judge, judge.last());
  }

  private List<String> lines(Run run) {
    List<String> lines = new ArrayList<>();
    String part =
        heard.size() > MOST_BYTES
            ? String.format(Locale.ROOT, " (the first %d MB of it)", MOST_BYTES >> 20)
            : "";
    lines.add(
        String.format(
            Locale.ROOT,
            "Run on its own capture%s the draft takes %s and refuses %d: %s.",
            part,
            Spoken.counted(run.counts.framesTaken(), "message"),
            run.counts.framesRefused(),
            Spoken.counted(run.judge.readings(), "reading")));
    run.last.ifPresent(
        reading -> {
          lines.add("Its last reading, to be held against meters:");
          new ReadingText(Optional.empty())
              .of(reading, List.of(), List.of())
              .lines()
              .forEach(lines::add);
        });
    if (run.last.isEmpty()) {
      lines.add("No reading was whole: a message is missing, or its parts come too far apart.");
    }
    run.judge.doubtful().forEach(doubt -> lines.add("doubt: " + doubt));
    return lines;
  }
}
