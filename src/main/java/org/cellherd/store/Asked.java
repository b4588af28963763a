package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.cellherd.store.sql.Database;

/** From which tables and times answers were taken, so that these can be checked. Any thread. */
final class Asked {

  private static final String IN_TABLE = "SELECT sum(start_ms + session) FROM block NOT INDEXED";

  private static final String IN_INDEX =
      "SELECT sum(start_ms + session) FROM block INDEXED BY block_by_time" + " WHERE pack > ''";

  private record Rows(SealedTable table, String pack) {}

  private record Span(long fromMs, long toMs) {
    Span and(Span other) {
      return new Span(Math.min(fromMs, other.fromMs), Math.max(toMs, other.toMs));
    }
  }

  private final Map<Rows, Span> spans = new LinkedHashMap<>();

  /** Notes an answer from rows of a pack with {@code fromMs <= time < toMs}. */
  synchronized void take(SealedTable table, String pack, long fromMs, long toMs) {
    spans.merge(new Rows(table, pack), new Span(fromMs, toMs), Span::and);
  }

  /** Notes an answer from all rows of some tables. */
  void takeAll(SealedTable... tables) {
    for (SealedTable table : tables) {
      take(table, "", Long.MIN_VALUE, Long.MAX_VALUE);
    }
  }

  /** Notes an answer from all rows of all tables. */
  void takeEverything(List<String> packs) {
    takeAll(SealedTable.values());
    for (String pack : packs) {
      take(SealedTable.HOUR, pack, Long.MIN_VALUE, Long.MAX_VALUE);
      take(SealedTable.DAY, pack, Long.MIN_VALUE, Long.MAX_VALUE);
    }
  }

  /** What is not as it was written, in sentences. */
  synchronized List<String> shortfalls(Connection connection) throws SQLException {
    Set<String> sentences = new LinkedHashSet<>();
    for (Map.Entry<Rows, Span> each : spans.entrySet()) {
      Rows rows = each.getKey();
      Span span = each.getValue();
      sentences.addAll(
          Seals.losses(connection, rows.table(), rows.pack(), span.fromMs(), span.toMs()));
      Seals.indexDamage(connection, rows.table()).ifPresent(damage -> sentences.add(say(damage)));
    }
    if (spans.keySet().stream().anyMatch(rows -> rows.table() == SealedTable.SESSION)
        && !Database.number(connection, IN_TABLE).equals(Database.number(connection, IN_INDEX))) {
      sentences.add(say("an index has lost a block of readings"));
    }
    return List.copyOf(sentences);
  }

  private static String say(String damage) {
    return "The file is damaged (" + damage + "); start cellherd run, which repairs it.";
  }
}
