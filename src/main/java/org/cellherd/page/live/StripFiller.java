package org.cellherd.page.live;

import java.util.Optional;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.page.PackHistory;

/** Fills a pack's strip from the log when somebody first looks. Any thread. */
public final class StripFiller {

  private static final System.Logger LOG = System.getLogger(StripFiller.class.getName());

  private final LiveBoard board;
  private final PackHistory history;
  private final TimeSource time;

  /** A filler. */
  public StripFiller(LiveBoard board, PackHistory history, TimeSource time) {
    this.board = board;
    this.history = history;
    this.time = time;
  }

  /** Fills the strip unless that was done. */
  public void fill(String pack) {
    Optional<LivePack> live = board.pack(pack);
    if (live.isEmpty() || !live.get().claimFilling()) {
      return;
    }
    long to = time.wallMs() + 1;
    long from = to - Strip.COLUMNS * Strip.COLUMN_MS;
    try {
      live.get().fill(history.read(pack, from, to).tracks());
    } catch (StorageFailure failure) {
      live.get().unclaimFilling();
      LOG.log(System.Logger.Level.WARNING, "page: the log cannot be read: " + failure.getMessage());
    }
  }
}
