package org.cellherd.app.daemon;

import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.pack.StorageFailure;

/**
 * The board that belongs to a pack: learnt when the first one names itself, kept in the log, and
 * compared at each connection. Only the owner's word puts another in its place. One thread.
 */
final class OwnBoard {

  private final String pack;
  private final LogKeeper keeper;
  private String own;
  private String stored;
  private String heard = "";

  /** As the log has it. */
  OwnBoard(String pack, LogKeeper keeper) throws StorageFailure {
    this.pack = pack;
    this.keeper = keeper;
    this.own = keeper.file().boards().of(pack).orElse("");
    this.stored = own;
  }

  /**
   * A board that answers has named itself.
   *
   * @param nowMs when, ms UTC
   */
  List<AlertEvent> heard(String identity, AlertEngine alerts, long nowMs) {
    heard = identity;
    own = own.isEmpty() ? identity : own;
    store(nowMs);
    return alerts.board(own.equals(identity), own, identity, nowMs);
  }

  /** The owner says that the board that answers, or the next that does, is the pack's own. */
  List<AlertEvent> accept(AlertEngine alerts, long nowMs) {
    own = heard;
    store(nowMs);
    return alerts.boardAccepted(nowMs);
  }

  /** What a full disk refused is tried again at the next connection. */
  private void store(long nowMs) {
    if (!own.equals(stored) && keeper.keepBoard(pack, own, nowMs)) {
      stored = own;
    }
  }
}
