package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.store.sql.Database;

/** Puts stretches that were moved in time to their places among the others. */
final class Order {

  /** Gaps that come before all readings of their stretch, however far they were moved. */
  private static final long BEFORE_ALL = GapRow.BEFORE_ALL / 2;

  private final Connection connection;
  private final String pack;
  private final List<DatedStretch> before;

  /**
   * A pack whose rows are moved already.
   *
   * @param before its stretches in their old order, with their old times
   */
  Order(Connection connection, String pack, List<DatedStretch> before) {
    this.connection = connection;
    this.pack = pack;
    this.before = List.copyOf(before);
  }

  /** Places the stretches that moved, and lets clock steps and gaps between stretches fit. */
  void settle(Map<Long, DatedStretch> moving, long offset) throws SQLException {
    List<DatedStretch> order = new ArrayList<>(before);
    order.removeIf(s -> moving.containsKey(s.id()));
    moving.values().forEach(s -> insert(order, s.movedBy(offset)));
    Map<Long, Long> old = predecessors(before);
    Map<Long, Long> today = predecessors(order);
    for (int i = 0; i < order.size(); i++) {
      DatedStretch here = order.get(i);
      long former = old.getOrDefault(here.id(), 0L);
      boolean isElsewhere = former != today.getOrDefault(here.id(), 0L);
      boolean isMoved = moving.containsKey(here.id());
      // A clock step tells the same instant by the clock of the stretch before it.
      boolean isFromMoved =
          here.kind() == LogSession.Kind.STEP ? moving.containsKey(former) : isMoved;
      place(here.id(), before.get(i).rank(), isMoved ? offset : 0, isFromMoved ? offset : 0);
      if (isElsewhere && here.kind() == LogSession.Kind.STEP) {
        endStep(here.id());
      }
      if (i > 0 && (isMoved || isElsewhere || moving.containsKey(order.get(i - 1).id()))) {
        meet(order.get(i - 1), here);
      }
    }
    for (long id : moving.keySet()) {
      Database.update(connection, "UPDATE session SET clock_sure = 1 WHERE id = ?", id);
    }
  }

  private void place(long id, long rank, long start, long from) throws SQLException {
    Database.update(
        connection,
        "UPDATE session SET rank = ?, start_ms = start_ms + ?, from_ms = from_ms + ? WHERE id = ?",
        rank,
        start,
        from,
        id);
  }

  /** A step is one between two stretches that follow each other. */
  private void endStep(long id) throws SQLException {
    Database.update(
        connection,
        "UPDATE session SET kind = ?, from_ms = start_ms WHERE id = ?",
        LogSession.Kind.PLAIN.word(),
        id);
  }

  private static Map<Long, Long> predecessors(List<DatedStretch> order) {
    Map<Long, Long> predecessors = new HashMap<>();
    for (int i = 1; i < order.size(); i++) {
      predecessors.put(order.get(i).id(), order.get(i - 1).id());
    }
    return predecessors;
  }

  private static void insert(List<DatedStretch> order, DatedStretch moved) {
    int place = order.size();
    while (place > 0 && order.get(place - 1).startMs() > moved.startMs()) {
      place--;
    }
    order.add(place, moved);
  }

  /** What was not heard between two stretches begins and ends where they do. */
  private void meet(DatedStretch earlier, DatedStretch later) throws SQLException {
    Database.update(
        connection,
        "UPDATE gap SET from_ms = ? WHERE pack = ? AND session = ? AND after_ms < ?",
        earlier.endMs(),
        pack,
        later.id(),
        BEFORE_ALL);
    if (later.startMs() >= earlier.endMs()) {
      Database.update(
          connection,
          "UPDATE gap SET to_ms = min(to_ms, ?) WHERE pack = ? AND session = ?",
          later.startMs(),
          pack,
          earlier.id());
    }
    Database.update(
        connection,
        "DELETE FROM gap WHERE pack = ? AND session IN (?, ?) AND from_ms >= to_ms",
        pack,
        earlier.id(),
        later.id());
  }
}
