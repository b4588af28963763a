package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Timestamp;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.cellherd.pack.Facts;
import org.cellherd.store.sql.Database;

/**
 * Which packs are asked for.
 *
 * @param site of this site alone
 * @param chemistry of this chemistry alone
 * @param rule with an alert of this rule alone
 * @param most how many at most
 */
public record FleetQuestion(
    Optional<String> site, Optional<String> chemistry, Optional<String> rule, int most) {

  private static final int DAYS = 30;

  private static final String FACTS_NOW =
      " LEFT JOIN LATERAL (SELECT facts FROM pack_facts f WHERE f.site = p.site AND f.log = p.log"
          + " AND f.pack = p.pack) now ON true";

  private static final String NEWEST_FACTS =
      " LEFT JOIN LATERAL (SELECT facts FROM finding f WHERE f.site = p.site AND f.log = p.log"
          + " AND f.pack = p.pack AND f.name = '%1$s' ORDER BY to_ms DESC LIMIT 1) %1$s ON true";

  /** By month, as the table and its key are: else each pack would cost what its whole past does. */
  private static final String DAYS_OF_CELLS =
      "SELECT k.n, d.start_ms, d.low, d.high FROM unnest(?::bigint[], ?::text[],"
          + " ?::text[]::uuid[], ?::text[], ?::text[]::date[]) AS k(n, site, log, pack, month) CROSS JOIN LATERAL (SELECT"
          + " start_ms, min(low) AS low, max(high) AS high FROM (SELECT start_ms, unnest(channel)"
          + " AS c, unnest(min) AS low, unnest(max) AS high FROM day_sum s WHERE s.site = k.site"
          + " AND s.log = k.log AND s.month = k.month AND s.pack = k.pack) c"
          + " WHERE c.c LIKE 'cell%' GROUP BY start_ms) d ORDER BY k.n, d.start_ms";

  /** The packs, those that need somebody most first. */
  public List<FleetPack> ask(Centre centre) throws CentreTrouble {
    return centre.change(this::packs);
  }

  /** How many packs fit, were there no limit; asked only where these are as many as that. */
  public long count(Centre centre, List<FleetPack> shown) throws CentreTrouble {
    if (shown.size() < most) {
      return shown.size();
    }
    List<Object> values = new ArrayList<>();
    String sql = "SELECT count(*) FROM pack_now p" + where(values);
    return centre.change(c -> Database.number(c, sql, values.toArray()).orElse(0));
  }

  private String where(List<Object> values) {
    StringBuilder where = new StringBuilder(" WHERE true");
    site.ifPresent(
        name -> {
          where.append(" AND p.site = ?");
          values.add(name);
        });
    chemistry.ifPresent(
        word -> {
          where.append(" AND p.chemistry = ?");
          values.add(word);
        });
    rule.ifPresent(
        word -> {
          where.append(" AND ? = ANY(p.rules)");
          values.add(word);
        });
    return where.toString();
  }

  private List<FleetPack> packs(Connection connection) throws SQLException {
    List<Object> values = new ArrayList<>();
    String worstFirst = " ORDER BY p.worst DESC, p.since_ms, p.site, p.pack";
    String sql =
        "SELECT p.site, p.log, p.pack, p.chemistry, p.at, now.facts, ageing.facts, rest.facts,"
            + " p.heard_ms"
            + " FROM (SELECT * FROM pack_now p"
            + where(values)
            + worstFirst
            + " LIMIT ?) p"
            + FACTS_NOW
            + String.format(NEWEST_FACTS, "ageing")
            + String.format(NEWEST_FACTS, "rest")
            + worstFirst;
    values.add(most);
    List<Row> rows = Database.rows(connection, sql, Row::of, values.toArray());
    List<List<FleetPack.DayOfCells>> days = days(connection, rows);
    List<FleetPack> packs = new ArrayList<>();
    for (int i = 0; i < rows.size(); i++) {
      packs.add(rows.get(i).pack(days.get(i)));
    }
    return packs;
  }

  /** A pack before its days are known. */
  private record Row(UUID log, long heardMs, FleetPack bare) {
    static Row of(ResultSet row) throws SQLException {
      long heardMs = row.getLong(9);
      return new Row(
          row.getObject(2, UUID.class),
          row.wasNull() ? row.getTimestamp(5).getTime() : heardMs,
          new FleetPack(
              row.getString(1),
              row.getString(3),
              row.getString(4),
              row.getTimestamp(5).getTime(),
              FleetPack.read(String.valueOf(row.getString(6))),
              FleetPack.read(String.valueOf(row.getString(7))),
              FleetPack.read(String.valueOf(row.getString(8))),
              List.of()));
    }

    FleetPack pack(List<FleetPack.DayOfCells> days) {
      return bare.withDays(days.subList(Math.max(0, days.size() - DAYS), days.size()));
    }
  }

  /** Where days of a pack lie: its place among those asked for, and a month. */
  private record Lately(long n, Row row, LocalDate month) {}

  /** The newest days of each, oldest first. */
  private static List<List<FleetPack.DayOfCells>> days(Connection connection, List<Row> rows)
      throws SQLException {
    List<List<FleetPack.DayOfCells>> days = new ArrayList<>();
    List<Lately> where = new ArrayList<>();
    for (Row row : rows) {
      for (LocalDate month : Months.lately(row.heardMs)) {
        where.add(new Lately(days.size(), row, month));
      }
      days.add(new ArrayList<>());
    }
    try (PreparedStatement statement = connection.prepareStatement(DAYS_OF_CELLS)) {
      new RowArrays<>(statement, where)
          .longs(Lately::n)
          .texts(w -> w.row.bare().site())
          .texts(w -> w.row.log().toString())
          .texts(w -> w.row.bare().id())
          .texts(w -> w.month.toString());
      try (ResultSet row = statement.executeQuery()) {
        while (row.next()) {
          days.get(row.getInt(1))
              .add(new FleetPack.DayOfCells(row.getLong(2), row.getLong(3), row.getLong(4)));
        }
      }
    }
    return days;
  }

  /**
   * An alert as it came to the centre.
   *
   * @param atMs when the centre got it, ms UTC by its clock
   * @param key tells one state of one alert from every other
   * @param facts what it says
   */
  public record News(long atMs, String key, Facts facts) {}

  /** The server's time, by which {@link #alertsSince} goes, ms UTC. */
  public long nowMs(Centre centre) throws CentreTrouble {
    return centre
        .plain(c -> Database.number(c, "SELECT extract(epoch FROM clock_timestamp()) * 1000"))
        .orElseThrow();
  }

  /** Alerts whose state came to the centre at or after a time, oldest first. */
  public List<News> alertsSince(Centre centre, long atMs) throws CentreTrouble {
    List<Object> values = new ArrayList<>();
    StringBuilder sql =
        new StringBuilder(
            "SELECT at, site, log, id, pack, rule, cell, state, priority, since_ms, time_ms, text"
                + " FROM alert WHERE at >= ?");
    values.add(new Timestamp(atMs));
    site.ifPresent(
        name -> {
          sql.append(" AND site = ?");
          values.add(name);
        });
    rule.ifPresent(
        word -> {
          sql.append(" AND rule = ?");
          values.add(word);
        });
    chemistry.ifPresent(
        word -> {
          sql.append(
              " AND EXISTS (SELECT FROM pack_now p WHERE p.site = alert.site AND p.log = alert.log"
                  + " AND p.pack = alert.pack AND p.chemistry = ?)");
          values.add(word);
        });
    sql.append(" ORDER BY at LIMIT 10000");
    return centre.change(
        c -> Database.rows(c, sql.toString(), FleetQuestion::news, values.toArray()));
  }

  /** A site sends an alert each minute while it stands: that is no news of it. */
  private static String key(String site, String log, String id, String state, String priority) {
    return String.join(" ", site, log, id, state, priority);
  }

  /** Keys of the news that alerts of now once were. */
  public Set<String> standing(Centre centre) throws CentreTrouble {
    String sql = "SELECT site, log, id, state, priority FROM alert WHERE stands";
    return new HashSet<>(
        centre.change(
            c ->
                Database.rows(
                    c,
                    sql,
                    row ->
                        key(
                            row.getString(1),
                            row.getString(2),
                            row.getString(3),
                            row.getString(4),
                            row.getString(5)))));
  }

  private static News news(ResultSet row) throws SQLException {
    Facts.Builder facts =
        Facts.of()
            .put("site", row.getString(2))
            .put("pack", row.getString(5))
            .put("rule", row.getString(6));
    if (row.getInt(7) == 0) {
      facts.putUnknown("cell");
    } else {
      facts.put("cell", row.getInt(7));
    }
    facts
        .put("state", row.getString(8))
        .put("priority", row.getString(9))
        .putTime("since", row.getLong(10))
        .putTime("time", row.getLong(11))
        .put("text", row.getString(12));
    String key =
        key(
            row.getString(2),
            row.getString(3),
            row.getString(4),
            row.getString(8),
            row.getString(9));
    return new News(row.getTimestamp(1).getTime(), key, facts.build());
  }
}
