package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.UUID;
import java.util.stream.Stream;
import org.cellherd.alert.Priority;
import org.cellherd.forward.wire.Lane;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonLimits;
import org.cellherd.json.JsonProblem;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;

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

  private static final JsonLimits LIMITS = new JsonLimits(65_536, 12, 20_000, 4_000);

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
          time(all, "summary", "time"),
          Stream.of(time(all, "summary", "time"), time(all, "state", "since"), since)
              .flatMapToLong(OptionalLong::stream)
              .max(),
          all.get("plan").flatMap(p -> p.text("chemistry")).orElse(""),
          rules,
          text);
    } catch (JsonProblem problem) {
      throw new IllegalArgumentException(problem.getMessage(), problem);
    }
  }

  private static OptionalLong time(JsonValue all, String part, String name) {
    return IsoTime.ms(all.get(part).flatMap(p -> p.text(name)).orElse(""));
  }

  /** Stores some; one that the database cannot hold is left out. */
  static void store(Centre centre, Collection<NowRow> states) throws CentreTrouble {
    for (NowRow state : states) {
      try {
        state.store(centre);
      } catch (CentreTrouble trouble) {
        if (!trouble.isData()) {
          throw trouble;
        }
        LOG.log(
            System.Logger.Level.WARNING,
            "site "
                + state.site()
                + ": the state of pack "
                + state.pack()
                + " is left out: "
                + trouble.getMessage());
      }
    }
  }

  /** Stores it in place of the older; what an earlier log of the site left a day ago goes. */
  private void store(Centre centre) throws CentreTrouble {
    centre.change(
        c -> {
          Centre.update(
              c,
              "DELETE FROM pack_now WHERE site = ? AND pack = ? AND log <> ?"
                  + " AND at < now() - interval '1 day'",
              site,
              pack,
              log);
          return Centre.update(
              c,
              "INSERT INTO pack_now(site, log, pack, worst, since_ms, heard_ms, chemistry, rules,"
                  + " facts) VALUES (?,?,?,?,?,?,?,?,?::jsonb) ON CONFLICT (site, log, pack)"
                  + " DO UPDATE SET worst = excluded.worst, since_ms = excluded.since_ms,"
                  + " heard_ms = excluded.heard_ms, chemistry = excluded.chemistry,"
                  + " rules = excluded.rules, facts = excluded.facts, at = now()",
              site,
              log,
              pack,
              worst,
              sinceMs.isPresent() ? sinceMs.getAsLong() : null,
              heardMs.isPresent() ? heardMs.getAsLong() : null,
              chemistry,
              c.createArrayOf("text", rules.toArray()),
              json);
        });
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
