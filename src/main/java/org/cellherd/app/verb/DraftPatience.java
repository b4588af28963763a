package org.cellherd.app.verb;

import java.util.OptionalLong;
import org.cellherd.board.PollSettings;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.bringup.Recording;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/**
 * States in a draft how long its board's answers take, where a late one could pass for that to
 * another question: there the program cuts no wait short by itself.
 */
final class DraftPatience {
  private static final PollSettings POLLER = PollSettings.DEFAULT;
  private static final long NANOS_PER_MS = 1_000_000;
  private static final long MOST_MS = 60_000;
  private static final long STEP_MS = 100;
  private static final String ASKED = "talk = \"poll\"\n";

  private DraftPatience() {}

  /** The draft, with a line more where enough answers were captured. */
  static String stated(String draft, int address, Recording heard) {
    OptionalLong longest = heard.longestAnswerMs(PollSettings.MEASURED);
    if (longest.isEmpty() || tellsAnswersApart(draft, address)) {
      return draft;
    }
    long wait = POLLER.measuredNanos(longest.getAsLong() * NANOS_PER_MS) / NANOS_PER_MS;
    long ms = Math.min(MOST_MS, wait);
    long rounded = (ms + STEP_MS - 1) / STEP_MS * STEP_MS;
    String why =
        " # three times the longest answer captured; its messages look alike, so none may be late";
    return draft.replace(ASKED, ASKED + "answer_within_ms = " + rounded + why + "\n");
  }

  private static boolean tellsAnswersApart(String draft, int address) {
    return Specs.read("draft", draft, new Problems())
        .map(decoder -> decoder.dialogue(address))
        .map(Dialogue::tellsAnswersApart)
        .orElse(true);
  }
}
