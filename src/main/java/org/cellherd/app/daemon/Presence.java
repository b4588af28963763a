package org.cellherd.app.daemon;

import java.util.Optional;
import org.cellherd.analysis.PackView;
import org.cellherd.analysis.moment.FrameClass;
import org.cellherd.mqtt.PackState;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;

/** Whether one pack is heard. One thread. */
final class Presence {

  private PackState state;
  private FrameClass lastSeen = FrameClass.UNKNOWN;

  Presence(long startMs) {
    this.state = new PackState(PackState.Word.STARTING, startMs, "");
  }

  PackState state() {
    return state;
  }

  /** Takes an entry after the analysis did; the new state when it has changed. */
  Optional<PackState> accept(LogEntry entry, PackView view) {
    PackState next = state;
    if (entry instanceof Reading reading) {
      lastSeen = view.frameClass();
      if (state.word() != PackState.Word.LIVE) {
        next = new PackState(PackState.Word.LIVE, reading.timeMs(), "");
      }
    } else if (entry instanceof Gap gap && gap.cause() != Gap.Cause.SKIPPED) {
      next = silent(gap);
    }
    boolean isNew = next.word() != state.word() || !next.cause().equals(state.cause());
    state = next;
    return isNew ? Optional.of(next) : Optional.empty();
  }

  private PackState silent(Gap gap) {
    // A board that goes quiet while its pack rests has most likely gone to sleep.
    boolean asleep = lastSeen == FrameClass.REST && gap.cause() == Gap.Cause.NO_BYTES;
    PackState.Word word = asleep ? PackState.Word.ASLEEP : PackState.Word.SILENT;
    long since = state.word() == word ? state.sinceMs() : gap.fromMs();
    return new PackState(word, since, gap.cause().word());
  }
}
