package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.cellherd.analysis.Finding;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.store.sql.Database;

/**
 * Packs whose results an older program made, as a queue in the database: the worst first, and of
 * these those heard last. Any number of workers take from it; the row that a worker folds is locked
 * by its connection, so that one that dies leaves its pack to the others at once.
 */
public final class RefoldQueue {

  /** Makes the results of a pack anew from its log. */
  @FunctionalInterface
  public interface Folding {
    /**
     * Folds one.
     *
     * @throws IllegalArgumentException when this log cannot be folded; the message says why
     */
    List<Finding> fold(SiteLog log, String pack) throws CentreTrouble;
  }

  /**
   * What came of one pack.
   *
   * @param site whose it is
   * @param pack its id
   * @param findings how many results it has now
   * @param trouble why it could not be folded
   */
  public record Folded(String site, String pack, int findings, Optional<String> trouble) {}

  /** A site of an older program goes on sending its own results: after a day they are too many. */
  private static final long AGAIN_MS = 86_400_000L;

  /** Text is compared with a number as JSON orders them, so that no site's nonsense is an error. */
  private static final String ANY_PART =
      "EXISTS (SELECT 1 FROM ours, jsonb_each(ours.folds) o WHERE coalesce(%s -> o.key, '0') %s"
          + " o.value)";

  private static final String WANT =
      "WITH ours AS (SELECT ?::jsonb AS folds) UPDATE folded f SET waits_for = ours.folds, worst ="
          + " p.worst, heard_ms = coalesce(p.heard_ms, 0) FROM pack_now p JOIN pack_facts s USING"
          + " (site, log, pack), ours WHERE (p.site, p.log, p.pack) = (f.site, f.log, f.pack) AND"
          + " (f.site, f.log, f.pack) IN (SELECT site, log, pack FROM folded WHERE waits_for IS"
          + " DISTINCT FROM (SELECT folds FROM ours) FOR UPDATE SKIP LOCKED) AND "
          + behind("(s.facts -> 'folds')")
          + " AND ("
          + behind("f.folds")
          + " OR p.heard_ms > f.heard_ms + "
          + AGAIN_MS
          + ") AND NOT "
          + ahead("(s.facts -> 'folds')")
          + " AND NOT "
          + ahead("f.folds")
          + " AND NOT "
          + ahead("f.waits_for");

  private static final String NEXT =
      "SELECT site, log, pack FROM folded WHERE waits_for = ?::jsonb"
          + " ORDER BY worst DESC, heard_ms DESC, site, log, pack LIMIT 1 FOR UPDATE SKIP LOCKED";

  private static final String DONE =
      "UPDATE folded SET folds = waits_for, waits_for = NULL, findings = ?, trouble = ?,"
          + " at = clock_timestamp() WHERE site = ? AND log = ? AND pack = ?";

  private final Centre claims;
  private final Centre reading;
  private final String ours;

  /**
   * Of a worker.
   *
   * @param claims the connection that holds what it has taken; for nothing else meanwhile
   * @param reading another one
   * @param ours versions of this program's analyses
   */
  public RefoldQueue(Centre claims, Centre reading, Facts ours) {
    this.claims = claims;
    this.reading = reading;
    this.ours = JsonText.of(ours);
  }

  private static String behind(String folds) {
    return String.format(ANY_PART, folds, "<");
  }

  private static String ahead(String folds) {
    return String.format(ANY_PART, folds, ">");
  }

  /**
   * Puts in what lacks the results of this program, neither its site nor a centre having made them.
   * What a newer program made is left alone.
   */
  public void fill() throws CentreTrouble {
    claims.change(
        c -> {
          CentreSchema.lock(c, CentreSchema.REFOLD_LOCK);
          Database.update(
              c,
              "INSERT INTO folded(site, log, pack) SELECT site, log, pack FROM pack_now"
                  + " ON CONFLICT DO NOTHING");
          return Database.update(c, WANT, ours);
        });
  }

  /** How many packs wait or are being folded. */
  public long waiting() throws CentreTrouble {
    String sql = "SELECT count(*) FROM folded WHERE waits_for = ?::jsonb";
    return reading.plain(c -> Database.number(c, sql, ours).orElse(0));
  }

  /** Takes the next and folds it; empty when none waits but those that others have taken. */
  public Optional<Folded> next(Folding folding) throws CentreTrouble {
    return claims.change(
        c -> {
          try (PreparedStatement statement = Database.prepare(c, NEXT, ours);
              ResultSet row = statement.executeQuery()) {
            if (!row.next()) {
              return Optional.empty();
            }
            String site = row.getString(1);
            UUID log = row.getObject(2, UUID.class);
            return Optional.of(fold(c, new SiteLog(reading, site, log), row.getString(3), folding));
          }
        });
  }

  private static Folded fold(Connection connection, SiteLog log, String pack, Folding folding)
      throws SQLException, CentreTrouble {
    Folded folded;
    try {
      List<Finding> findings = folding.fold(log, pack);
      PlainTables.findings(connection, log, pack, findings);
      folded = new Folded(log.site(), pack, findings.size(), Optional.empty());
    } catch (IllegalArgumentException cannot) {
      String why = String.valueOf(cannot.getMessage());
      folded = new Folded(log.site(), pack, 0, Optional.of(why));
    }
    String trouble = folded.trouble().orElse(null);
    Database.update(connection, DONE, folded.findings(), trouble, log.site(), log.log(), pack);
    return folded;
  }
}
