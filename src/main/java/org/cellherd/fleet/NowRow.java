package org.cellherd.fleet;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.Stream;
import org.cellherd.alert.Priority;
import org.cellherd.forward.wire.Lane;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.jspecify.annotations.Nullable;

/**
 * The newest state of a pack as a site sends it.
 *
 * @param site whose pack
 * @param log UUID of the site's log
 * @param pack its id
 * @param worst how much it needs somebody: 3 critical, 2 warning, 1 note, 0 nothing
 * @param sinceMs when the worst alert began, ms UTC
 * @param heardMs time of its newest entry, ms UTC
 * @param clockMs newest time in the message, ms UTC: what its site's clock said about then
 * @param chemistry word of the plan
 * @param rules of the alerts that stand
 * @param json all of it
 */
record NowRow(
    String site,
    UUID log,
    String pack,
    int worst,
    OptionalLong sinceMs,
    OptionalLong heardMs,
    OptionalLong clockMs,
    String chemistry,
    List<String> rules,
    String json) {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  private static final JsonReader.Limits LIMITS = new JsonReader.Limits(65_536, 12, 20_000, 4_000);

  /**
   * Reads a message.
   *
   * @throws IllegalArgumentException when it is none
   */
  static NowRow of(Lane lane, String pack, String text) {
    try {
      JsonValue all = new JsonReader(LIMITS).read(text);
      List<String> rules = new ArrayList<>();
      int worst = 0;
      OptionalLong since = OptionalLong.empty();
      for (JsonValue alert : all.items("alerts")) {
        alert.text("rule").ifPresent(rules::add);
        int rank = rank(alert.text("priority").orElse(""));
        if (rank > worst) {
          worst = rank;
          since = IsoTime.ms(alert.text("since").orElse(""));
        }
      }
      return new NowRow(
          lane.site(),
          UUID.fromString(all.text("log").orElse("")),
          pack,
          worst,
          since,
          heardMs(all),
          Stream.of(heardMs(all), time(all, "state", "since"), since)
              .flatMapToLong(OptionalLong::stream)
              .max(),
          all.get("plan").flatMap(p -> p.text("chemistry")).orElse(""),
          rules,
          text);
    } catch (JsonReader.Problem problem) {
      throw new IllegalArgumentException(problem.getMessage(), problem);
    }
  }

  /** Time of its newest entry, ms UTC: of what it does now, else of its log. */
  static OptionalLong heardMs(JsonValue all) {
    OptionalLong now = time(all, "summary", "time");
    return now.isPresent() ? now : IsoTime.ms(all.text("heard").orElse(""));
  }

  private static OptionalLong time(JsonValue all, String part, String name) {
    return IsoTime.ms(all.get(part).flatMap(p -> p.text(name)).orElse(""));
  }

  /**
   * Whole states lie apart from what is sought by and counted: rows of a kilobyte make a count read
   * eight times as much. Below two kilobytes the server moves nothing out of a row by itself. Who
   * may do what is as it was, and the rows are written anew, or each would keep its room.
   */
  static final List<String> APART =
      List.of(
          "CREATE TABLE pack_facts(site text NOT NULL, log uuid NOT NULL, pack text NOT NULL,"
              + " facts jsonb NOT NULL, PRIMARY KEY (site, log, pack))",
          "INSERT INTO pack_facts SELECT site, log, pack, facts FROM pack_now",
          """
          DO $$ DECLARE r record; BEGIN
            FOR r IN SELECT a.privilege_type AS may, CASE a.grantee WHEN 0 THEN 'PUBLIC'
                ELSE quote_ident(pg_get_userbyid(a.grantee)) END AS who
              FROM pg_class c, aclexplode(c.relacl) a WHERE c.oid = 'pack_now'::regclass LOOP
              EXECUTE format('GRANT %s ON pack_facts TO %s', r.may, r.who);
            END LOOP;
          END $$\
          """,
          "ALTER TABLE pack_now DROP COLUMN facts",
          "ALTER TABLE pack_now RESET (toast_tuple_target)",
          "CLUSTER pack_now USING pack_now_pkey");

  private static final String OLD =
      " t.pack = r.pack AND t.log <> r.log AND t.at < now() - interval '1 day'";

  private static final String KEYS =
      " unnest(?::text[], ?::text[]::uuid[], ?::text[]) AS r(site, log, pack)";

  /** A state of another log of the site that is as old as a day goes. */
  private static final String GONE =
      "DELETE FROM pack_now t USING" + KEYS + " WHERE t.site = r.site AND" + OLD;

  private static final String FACTS_GONE =
      "DELETE FROM pack_facts f USING pack_now t,"
          + KEYS
          + " WHERE t.site = r.site AND (f.site, f.log, f.pack) = (t.site, t.log, t.pack) AND"
          + OLD;

  private static final String PUT =
      "INSERT INTO pack_now(rules, site, log, pack, worst, since_ms, heard_ms, chemistry)"
          + " SELECT (?::text[])[a:b], site, log, pack, worst::smallint, since_ms, heard_ms,"
          + " chemistry FROM unnest(?::text[], ?::text[]::uuid[], ?::text[],"
          + " ?::bigint[], ?::bigint[], ?::bigint[], ?::text[], ?::bigint[],"
          + " ?::bigint[]) AS r(site, log, pack, worst, since_ms, heard_ms, chemistry,"
          + " a, b) ON CONFLICT (site, log, pack) DO UPDATE SET worst = excluded.worst,"
          + " since_ms = excluded.since_ms, heard_ms = excluded.heard_ms,"
          + " chemistry = excluded.chemistry, rules = excluded.rules, at = now()";

  private static final String PUT_FACTS =
      "INSERT INTO pack_facts SELECT site, log, pack, facts::jsonb FROM unnest(?::text[],"
          + " ?::text[]::uuid[], ?::text[], ?::text[]) AS r(site, log, pack, facts)"
          + " ON CONFLICT (site, log, pack) DO UPDATE SET facts = excluded.facts";

  /** Stores some, of one pack the last; one that the database cannot hold is left out. */
  static void store(Centre centre, Collection<NowRow> states) throws CentreTrouble {
    Map<String, NowRow> newest = new TreeMap<>();
    states.forEach(s -> newest.put(s.site + "/" + s.log + "/" + s.pack, s));
    List<NowRow> rows = List.copyOf(newest.values());
    try {
      put(centre, rows);
    } catch (CentreTrouble trouble) {
      if (!trouble.isData()) {
        throw trouble;
      }
      for (NowRow row : rows) {
        row.storeAlone(centre);
      }
    }
  }

  private void storeAlone(Centre centre) throws CentreTrouble {
    try {
      put(centre, List.of(this));
    } catch (CentreTrouble trouble) {
      if (!trouble.isData()) {
        throw trouble;
      }
      LOG.log(
          System.Logger.Level.WARNING,
          "site " + site + ": the state of pack " + pack + " is left out: " + trouble.getMessage());
    }
  }

  /** A row and which of all rules are its own: from one place to another, from 1. */
  private record Place(NowRow row, long first, long last) {}

  private static void put(Centre centre, List<NowRow> rows) throws CentreTrouble {
    List<String> rules = new ArrayList<>();
    List<Place> places = new ArrayList<>();
    for (NowRow row : rows) {
      places.add(new Place(row, rules.size() + 1L, rules.size() + row.rules.size()));
      rules.addAll(row.rules);
    }
    centre.change(
        c -> {
          PlainTables.run(c, FACTS_GONE, places, NowRow::keys);
          PlainTables.run(c, GONE, places, NowRow::keys);
          PlainTables.run(
              c,
              PUT,
              places,
              arrays -> columns(arrays.whole("text", rules.toArray(new String[0]))));
          PlainTables.run(c, PUT_FACTS, places, arrays -> keys(arrays).texts(p -> p.row.json));
          return true;
        });
  }

  private static RowArrays<Place> keys(RowArrays<Place> arrays) throws SQLException {
    return arrays.texts(p -> p.row.site).texts(p -> p.row.log.toString()).texts(p -> p.row.pack);
  }

  private static RowArrays<Place> columns(RowArrays<Place> arrays) throws SQLException {
    return keys(arrays)
        .longs(p -> (long) p.row.worst)
        .longs(p -> number(p.row.sinceMs))
        .longs(p -> number(p.row.heardMs))
        .texts(p -> p.row.chemistry)
        .longs(Place::first)
        .longs(Place::last);
  }

  private static @Nullable Long number(OptionalLong value) {
    return value.isPresent() ? value.getAsLong() : null;
  }

  private static int rank(String word) {
    Optional<Priority> priority = Priority.ofWord(word);
    return priority.isEmpty()
        ? 0
        : switch (priority.get()) {
          case CRITICAL -> 3;
          case WARNING -> 2;
          case NOTE -> 1;
        };
  }
}
