package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.Link;
import org.cellherd.board.LinkAddress;
import org.cellherd.board.PollSettings;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Refusal;
import org.jspecify.annotations.Nullable;

/**
 * Tries descriptions on a line until a board answers. Only requests that a description states,
 * which are reads, are ever sent.
 */
final class BoardSearch {

  /** A board has a third of a second to begin its answer; nobody waits minutes for a search. */
  private static final PollSettings ONE_TRY = new PollSettings(350, 350, 0);

  private static final String NONE_FITS = "bytes came that no description fits";

  private static final long LISTEN_NANOS = 2_500_000_000L;

  private final TimeSource time;
  private final List<Candidate> candidates;

  BoardSearch(TimeSource time, List<Candidate> candidates) {
    this.time = time;
    this.candidates = List.copyOf(candidates);
  }

  /**
   * A description that is tried.
   *
   * @param spec how a config names it
   */
  record Candidate(String spec, Decoder decoder) {}

  record Found(LinkAddress link, Candidate candidate, int address, Reading reading) {}

  /** What came of a line: a board, or why there is none. */
  record Result(Optional<Found> found, String trouble) {}

  /** Tries every description at every address, grouped by line settings. */
  Result search(LinkAddress link, List<Integer> addresses) throws InterruptedException {
    Map<LineSettings, List<Candidate>> bySettings = new LinkedHashMap<>();
    candidates.stream()
        .filter(c -> link.carries(c.decoder()))
        .forEach(
            c -> bySettings.computeIfAbsent(c.decoder().line(), s -> new ArrayList<>()).add(c));
    String trouble = "";
    for (List<Candidate> group : bySettings.values()) {
      for (Candidate candidate : group) {
        for (int address : addresses) {
          Ear ear = new Ear();
          tryOnce(link, candidate.decoder(), address, ear);
          if (ear.reading != null) {
            return new Result(Optional.of(new Found(link, candidate, address, ear.reading)), "");
          }
          if (!ear.note.isEmpty()) {
            return new Result(Optional.empty(), ear.note);
          }
          String before = trouble;
          trouble =
              ear.said
                  .map(said -> candidate.spec() + ": " + said)
                  .orElse(before.isEmpty() && ear.frames ? NONE_FITS : before);
        }
      }
    }
    return new Result(Optional.empty(), trouble.isEmpty() ? "no answer" : trouble);
  }

  private void tryOnce(LinkAddress link, Decoder decoder, int address, Ear ear)
      throws InterruptedException {
    BoardOnLine board = BoardOnLine.alone(decoder.dialogue(address), decoder.line());
    try (Link line = link.link(time)) {
      LinePoller poller = new LinePoller(line, List.of(board), ONE_TRY, LineClock.of(time), ear);
      long until = time.monotonicNanos() + LISTEN_NANOS;
      poller.step();
      do {
        poller.step();
        ear.frames |= poller.counts(BoardOnLine.ALONE).bytesThrownAway() > 0;
      } while (board.dialogue().isListenOnly()
          && ear.reading == null
          && ear.note.isEmpty()
          && time.monotonicNanos() < until);
      if (board.dialogue().counts().framesTaken() > 0) {
        ear.said = board.dialogue().lastRefusal().map(Refusal::detail);
      }
    }
  }

  private static final class Ear implements BoardListener {
    private @Nullable Reading reading;
    private String note = "";
    private boolean frames;
    private Optional<String> said = Optional.empty();

    @Override
    public void heard(String pack, LogEntry entry) {
      if (entry instanceof Reading r) {
        reading = r;
      }
    }

    @Override
    public void note(String pack, String text) {
      note = text;
    }
  }
}
