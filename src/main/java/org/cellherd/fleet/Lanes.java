package org.cellherd.fleet;

import java.util.Set;
import java.util.TreeSet;
import org.cellherd.forward.wire.Lane;
import org.cellherd.store.sql.Database;

/**
 * Which lanes this gatherer has: those whose advisory lock its connection holds. The locks of one
 * that dies are free at once, and the others take its lanes over. Each takes its fair share.
 */
final class Lanes {

  /** Held, shared, by every gatherer: counts them. */
  private static final int PRESENT = 1_000;

  private static final String GATHERERS =
      "SELECT count(DISTINCT pid) FROM pg_locks WHERE locktype = 'advisory' AND granted"
          + " AND database = (SELECT oid FROM pg_database WHERE datname = current_database())"
          + " AND classid = ? AND objid = ?";

  private final Centre centre;
  private final int first;
  private final Set<Integer> ours = new TreeSet<>();
  private boolean isPresent;

  /**
   * None yet.
   *
   * @param first where to begin to look for free ones: another number for each gatherer
   */
  Lanes(Centre centre, int first) {
    this.centre = centre;
    this.first = Math.floorMod(first, Lane.COUNT);
  }

  Set<Integer> ours() {
    return new TreeSet<>(ours);
  }

  /** Takes free lanes up to a fair share, gives up those above it. */
  void share() throws CentreTrouble {
    if (!isPresent) {
      number("SELECT 1 FROM pg_advisory_lock_shared(?, ?)", PRESENT);
      isPresent = true;
    }
    long gatherers = Math.max(1, number(GATHERERS, PRESENT));
    long fair = (Lane.COUNT + gatherers - 1) / gatherers;
    for (int i = 0; i < Lane.COUNT && ours.size() < fair; i++) {
      int lane = (first + i) % Lane.COUNT;
      if (!ours.contains(lane) && number("SELECT pg_try_advisory_lock(?, ?)::int", lane) == 1) {
        ours.add(lane);
      }
    }
    for (int lane : ours()) {
      if (ours.size() > fair) {
        number("SELECT pg_advisory_unlock(?, ?)::int", lane);
        ours.remove(lane);
      }
    }
  }

  private long number(String sql, int lock) throws CentreTrouble {
    return centre.plain(c -> Database.number(c, sql, CentreSchema.LOCKS, lock).orElse(0));
  }
}
