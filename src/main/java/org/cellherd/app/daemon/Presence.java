package org.cellherd.app.daemon;

import java.util.Optional;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;

/** Whether one pack is heard. One thread. */
final class Presence {

  private PackState state;

  Presence(long startMs) {
    this.state = new PackState(PackState.Word.STARTING, startMs, "");
  }

  PackState state() {
    return state;
  }

  /**
   * Takes an entry after the rules did; the new state when it has changed.
   *
   * @param hasRested the pack had rested so long that its board may sleep
   */
  Optional<PackState> accept(LogEntry entry, boolean hasRested) {
    PackState next = state;
    if (entry instanceof Reading reading) {
      if (state.word() != PackState.Word.LIVE) {
        next = new PackState(PackState.Word.LIVE, reading.timeMs(), "");
      }
    } else if (entry instanceof Gap gap && isSilence(gap.cause())) {
      next = silent(gap, hasRested);
    }
    boolean isNew = next.word() != state.word() || !next.cause().equals(state.cause());
    state = next;
    return isNew ? Optional.of(next) : Optional.empty();
  }

  /** True for a silence of the board, not of this program. */
  private static boolean isSilence(Gap.Cause cause) {
    return cause != Gap.Cause.SKIPPED && cause != Gap.Cause.NOT_RUNNING;
  }

  /** True until the first attempt of this run to hear the board is over. */
  boolean isStarting() {
    return state.word() == PackState.Word.STARTING;
  }

  /** True while nothing is wrong with what is heard: readings come, or the board sleeps. */
  boolean isAccountedFor() {
    return state.word() == PackState.Word.LIVE || state.word() == PackState.Word.ASLEEP;
  }

  private PackState silent(Gap gap, boolean hasRested) {
    boolean asleep = hasRested && gap.cause() == Gap.Cause.NO_BYTES;
    PackState.Word word = asleep ? PackState.Word.ASLEEP : PackState.Word.SILENT;
    long since = state.word() == word ? state.sinceMs() : gap.fromMs();
    return new PackState(word, since, gap.cause().word());
  }
}
